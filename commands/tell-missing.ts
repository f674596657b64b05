import process from 'node:process';

/** Says beside figures what they are without; nothing where nothing is missing. */
export function tellMissing(missing: readonly string[]): void {
  for (const one of missing) process.stderr.write(`${one}\n`);
}
