import { signal } from '@preact/signals';
import { mayActAs, type Role } from '../../../collector/contract/roles.ts';
import type { Me } from '../../server/endpoints/me.ts';
import { ApiFault, ask } from '../api.ts';

/** Who is signed in here; null before the service has said so. */
export const me = signal<Me | null>(null);

/** Asks the service who is signed in. Without an answer nothing is known: the pages say themselves that there is none. */
export async function loadMe(): Promise<Me | null> {
  try {
    me.value = await ask<Me>('/api/me');
  } catch (error) {
    if (!(error instanceof ApiFault)) throw error;
  }
  return me.value;
}

/** Whether somebody has to sign in before anything is shown. */
export function signedOut(one: Me | null): boolean {
  return one?.accounts === true && one.who === null;
}

/** Whether who is signed in has at least this role; while it is not known yet nothing is kept from them. */
export function mayDo(least: Role): boolean {
  const role = me.value?.role;
  return role === undefined || (role !== null && mayActAs(role, least));
}
