import { stringify } from 'yaml';
import type { OperationConfig } from './config.ts';

/** Names of keys whose texts are never shown, beside those that their schema marks. */
const SECRET = /password|secret|token|passphrase|privateKey/i;
const HIDDEN = '(hidden)';

/** The configuration as YAML, as it holds; secrets are hidden, addresses keep no sign-in. */
export function shownConfig(config: OperationConfig): string {
  return stringify(hide(config, ''));
}

function hide(value: unknown, name: string): unknown {
  if (Array.isArray(value)) return value.map((one) => hide(one, name));
  if (typeof value === 'object' && value !== null)
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, hide(inner, key)]));
  if (typeof value !== 'string' || value === '') return value;
  if (SECRET.test(name)) return HIDDEN;
  // user:password@ of an address.
  return value.replace(/^([a-z][a-z0-9+.-]*:\/\/)[^/@]*@/i, `$1${HIDDEN}@`);
}
