import type { Endpoint } from '../endpoint.ts';
import { audit } from '../endpoints/audit.ts';
import { changePassword, endMySession, me, mySessions, signOut } from '../endpoints/me.ts';
import { changeRole, endSessions, invite, newLink, people, restore, revoke } from '../endpoints/people.ts';
import { signIn, welcome } from '../endpoints/sign-in.ts';
import {
  addStationAccount,
  revokeStationAccount,
  rotateStationSecret,
  stationAccounts,
} from '../endpoints/station-accounts.ts';
import { dropToken, newToken, tokens } from '../endpoints/tokens.ts';

/** Addresses for signing in, accounts and the audit trail. */
export const ACCESS_ENDPOINTS: readonly Endpoint[] = [
  me,
  signIn,
  welcome,
  signOut,
  mySessions,
  endMySession,
  changePassword,
  people,
  invite,
  newLink,
  changeRole,
  revoke,
  restore,
  endSessions,
  stationAccounts,
  addStationAccount,
  rotateStationSecret,
  revokeStationAccount,
  tokens,
  newToken,
  dropToken,
  audit,
];
