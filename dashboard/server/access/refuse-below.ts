import { AppError, mayActAs, type Role } from '../../../collector/contract/index.ts';
import type { Caller } from './caller.ts';

/**
 * Lets nobody on who has less than a role.
 *
 * @throws {AppError} SIGN_IN_NEEDED where nobody is signed in, ROLE_TOO_LOW
 */
export function refuseBelow(least: Role, { who, role }: Caller): void {
  if (role === null) throw new AppError('SIGN_IN_NEEDED', `nobody is signed in; the role ${least} is needed`);
  if (!mayActAs(role, least))
    throw new AppError('ROLE_TOO_LOW', `${who} has the role ${role}; the role ${least} is needed`);
}
