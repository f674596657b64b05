import process from 'node:process';

/** Aborts on the signals that end a program. */
export function untilSignal(): AbortSignal {
  const controller = new AbortController();
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => controller.abort());
  return controller.signal;
}
