import type { States } from './store.ts';

/** Under which the retention notes it. */
const KEY = 'retention/runs-from';

/** Reading time before which spray runs were taken away because of their age, epoch ms; 0 where none were. */
export function runsFrom(states: Pick<States, 'get'>): number {
  const bytes = states.get(KEY);
  return bytes === null ? 0 : Number(Buffer.from(bytes).toString('latin1'));
}

/** Spray runs of before `time` are being taken away. Within the caller's transaction. */
export function noteRunsFrom(states: Pick<States, 'get' | 'put'>, time: number): void {
  states.put(KEY, Buffer.from(String(Math.max(time, runsFrom(states)))));
}
