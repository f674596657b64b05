import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/**
 * Collects what starting, or work that comes seldom, has left behind in this thread. V8 bounds a heap by what is alive only from its first full
 * collection on; that comes when the heap is twice as large as it has to be, after half an hour of some hundred messages a second, which looks
 * like a leak. A thread that rests collects nothing at all.
 */
export function collectOnce(): void {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  setFlagsFromString('--no-expose-gc');
  collect();
}
