import { randomBytes } from 'node:crypto';
import type { Role } from '../../../../collector/contract/index.ts';
import type { AccessSource } from '../../../../dashboard/server/access/access-source.ts';
import { addPerson } from '../../../../dashboard/server/access/people-book.ts';
import { addToken } from '../../../../dashboard/server/access/token-book.ts';
import type { DashboardOptions } from '../../../../dashboard/server/index.ts';
import { openBook } from '../../../collector/access/open-book.ts';
import { hall } from '../../hall.ts';
import { NOON } from '../../hall-guns.ts';
import { type OpenHall, openHall } from '../../open-hall.ts';

const ACTOR = { who: 'test', origin: 'command line', now: NOON };

/** The invented hall behind accounts. */
export interface OpenHouse extends OpenHall {
  readonly access: AccessSource;
  /** A one-time link's token for a new person. */
  invite(name: string, role: Role): string;
  /** Headers of a program with this role. */
  bearer(role: Role): Record<string, string>;
  /** Lines of the service's log about refused requests. */
  readonly refused: { readonly fields: Record<string, unknown>; readonly message: string }[];
}

/** Accounts of a fresh store; with `accounts` false none are set up yet. */
export function freshAccess(accounts = true): { readonly access: AccessSource } & Pick<OpenHouse, 'invite' | 'bearer'> {
  const book = openBook();
  let required = accounts;
  const access: AccessSource = {
    store: book.store,
    required: () => required,
    stations: ['gun-01', 'gun-02'],
    random: randomBytes,
    sessionMs: 7 * 86_400_000,
    sessionsOfPerson: 20,
    changed: () => {
      required ||= book.store.access.any();
    },
  };
  let count = 0;
  return {
    access,
    invite: (name, role) => addPerson(book, { name, role }, ACTOR).link,
    bearer: (role) => {
      const { secret } = addToken(book, { name: `program ${++count}`, kind: 'api', role }, ACTOR);
      return { Authorization: `Bearer ${secret}` };
    },
  };
}

/** Opens it; with `accounts` false none are set up yet. */
export async function openHouse(
  options: Partial<DashboardOptions> & { accounts?: boolean; time?: () => number } = {},
): Promise<OpenHouse> {
  const fresh = freshAccess(options.accounts);
  const refused: OpenHouse['refused'] = [];
  const now = options.time ?? (() => NOON);
  const opened = await openHall({
    now,
    ...options,
    sources: { ...hall({ now }).sources, access: fresh.access },
    onRefused: (fields, message) => refused.push({ fields: { ...fields }, message }),
  });
  return { ...opened, ...fresh, refused };
}

/** The cookie that an answer sets, as a request sends it back. */
export function cookieOf(headers: Headers): string {
  return (headers.get('Set-Cookie') ?? '').split(';')[0] ?? '';
}
