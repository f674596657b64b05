import { readdirSync } from 'node:fs';
import { getPriority, setPriority } from 'node:os';

/**
 * Lets this thread run behind others of the process: readings are taken first. On Linux alone a priority is a thread's;
 * elsewhere all stays as it is, and so where the service may not set it, as under a unit that forbids that.
 *
 * @param niceness above that of the service, 1 to 19
 * @returns whether it was set
 */
export function runBehind(niceness: number): boolean {
  if (process.platform !== 'linux') return false;
  try {
    setPriority(niceness);
    return true;
  } catch {
    // EPERM or EACCES, as setpriority(2) has them; it runs beside the others then, which is slower under load and no fault.
    return false;
  }
}

/**
 * Lets the threads that Node brings along run behind our own: V8's, which compile and collect garbage, and libuv's. On a machine
 * with as many processors as the service has busy threads, what they do would else come before readings that wait.
 * Call it before threads of our own are started.
 *
 * @param niceness above that of the service, 1 to 19
 * @returns whether it was set
 */
export function runHelpersBehind(niceness: number): boolean {
  if (process.platform !== 'linux') return false;
  try {
    const behind = Math.min(19, getPriority() + niceness);
    for (const thread of readdirSync('/proc/self/task')) {
      // Linux gives the first thread the number of its process (proc(5), `/proc/pid/task`).
      if (Number(thread) !== process.pid) setPriority(Number(thread), behind);
    }
    return true;
  } catch {
    // As above; or there is no /proc, or one of them has just ended.
    return false;
  }
}
