import { setPriority } from 'node:os';

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
