import { isIP } from 'node:net';
import { AppError, quoted } from '../../collector/contract/index.ts';

/** True for the names and addresses that only this machine can reach. */
function isLoopback(address: string): boolean {
  if (address === 'localhost' || address === '::1') return true;
  return isIP(address) === 4 && address.startsWith('127.');
}

/**
 * Nobody has to sign in yet, so only this machine may reach the service.
 *
 * @throws {AppError} CONFIG_INVALID for an address that others can reach
 */
export function refuseOpenBind(bind: string): void {
  if (!isLoopback(bind))
    throw new AppError(
      'CONFIG_INVALID',
      `bind: found ${quoted(bind)}, expected a loopback address such as 127.0.0.1 while no accounts are set up`,
    );
}
