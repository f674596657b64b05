import { readFileSync } from 'node:fs';

/** A file of published or independently computed values; its `source`, `how` and `status` say where they come from. */
export function fixture<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`./fixtures/${name}.json`, import.meta.url), 'utf8')) as T;
}
