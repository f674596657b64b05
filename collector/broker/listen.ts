import type { AddressInfo, Server } from 'node:net';
import { AppError } from '../contract/errors.ts';

const REASONS: Readonly<Record<string, string>> = {
  EADDRINUSE: 'another program uses it',
  EACCES: 'this user may not open it; ports below 1024 are often reserved',
  EADDRNOTAVAIL: 'this machine has no such address',
  ENOTFOUND: 'this host name is not known',
  EAI_AGAIN: 'this host name cannot be looked up now',
};

/**
 * Opens a listening port and gives the number that it got, which port 0 leaves to the system.
 *
 * @param flag the command line's flag for this port, named in the message
 * @throws {AppError} PORT_UNUSABLE when it is in use or may not be opened
 */
export async function listen(server: Server, port: number, host: string, what: string, flag: string): Promise<number> {
  await new Promise<void>((resolve, reject) => {
    const failed = (error: NodeJS.ErrnoException): void => {
      const why = REASONS[error.code ?? ''] ?? error.message;
      const message = `${what} port ${port} on ${host} cannot be opened: ${why}; choose another with ${flag}`;
      reject(new AppError('PORT_UNUSABLE', message, { cause: error }));
    };
    server.once('error', failed);
    server.listen({ port, host }, () => {
      server.off('error', failed);
      resolve();
    });
  });
  return (server.address() as AddressInfo).port;
}
