import { userInfo } from 'node:os';

/** Name of the machine's account that runs the command. */
export function whoRuns(): string {
  try {
    return userInfo().username;
  } catch (error) {
    // A container may run under a number that no account has.
    return `user ${process.getuid?.() ?? '?'} (${(error as NodeJS.ErrnoException).code ?? 'no name'})`;
  }
}
