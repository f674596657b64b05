import { getPriority, setPriority } from 'node:os';
import { runBehind } from './background.ts';

/**
 * Lets this thread run behind others of the process, as `runBehind` does, but level with them while it holds a lock that they wait for: else
 * whoever goes before it keeps it from letting go. Coming back to where it was needs a right (setpriority(2), RLIMIT_NICE); without, it runs behind
 * all the time.
 *
 * @param niceness above that of the service, 1 to 19
 * @returns to be told when the lock is wanted, and when it has been let go of
 */
export function levelWhileHolding(niceness: number): (holds: boolean) => void {
  const level = getPriority();
  if (!runBehind(niceness)) return () => undefined;
  const set = (holds: boolean): void => setPriority(holds ? level : niceness);
  try {
    set(true);
    set(false);
  } catch {
    // EPERM or EACCES: the thread stays behind, which is slower under load and no fault.
    return () => undefined;
  }
  return set;
}
