import { isIP } from 'node:net';
import { AppError, quoted } from '../../collector/contract/index.ts';
import { type OperationConfig, openStore, storeIsIn } from '../../collector/index.ts';

/** True for the names and addresses that only this machine can reach. */
export function isLoopback(address: string): boolean {
  if (address === 'localhost' || address === '::1') return true;
  return isIP(address) === 4 && address.startsWith('127.');
}

/**
 * While nobody has to sign in only this machine may reach the service.
 *
 * @param dir data folder, which knows whether accounts are set up
 * @throws {AppError} CONFIG_INVALID for an address that others can reach; STORE_UNUSABLE
 */
export function refuseOpenBind({ bind, accounts }: Pick<OperationConfig, 'bind' | 'accounts'>, dir: string): void {
  if (isLoopback(bind) || accounts.required || hasAccounts(dir)) return;
  throw new AppError(
    'CONFIG_INVALID',
    `bind: found ${quoted(bind)}, expected a loopback address such as 127.0.0.1 while no accounts are set up; "driftline person add" or "accounts: { required: true }" sets them up`,
  );
}

function hasAccounts(dir: string): boolean {
  if (!storeIsIn(dir)) return false;
  const store = openStore(dir);
  try {
    return store.access.any();
  } finally {
    store.close();
  }
}
