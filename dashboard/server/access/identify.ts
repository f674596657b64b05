import type { IncomingHttpHeaders } from 'node:http';
import { type AccessRecords, secretHash } from '../../../collector/index.ts';
import { type Caller, NOBODY } from './caller.ts';
import { cookieIn } from './cookies.ts';

/** How exactly the time of a session's last request is kept, ms: not every request is worth a write. Source: own choice. */
const SEEN_GAP_MS = 300_000;

/** Longest secret that is looked at. Source: own choice, because ours have 43 characters. */
const LONGEST_SECRET = 128;

/** Who sends a request, as far as it shows: `Authorization: Bearer …` counts before cookies, a session before a wall's link. */
export function identify(
  records: AccessRecords,
  headers: IncomingHttpHeaders,
  from: { readonly address: string; readonly secure: boolean },
  now: number,
): Caller {
  const nobody: Caller = { ...NOBODY, ...from };
  if (headers.authorization !== undefined) {
    const [, bearer] = /^Bearer +([\w~+/.=-]+) *$/i.exec(headers.authorization) ?? [];
    return bearer === undefined ? nobody : (withToken(records, bearer, from) ?? nobody);
  }
  const session = cookieIn(headers.cookie, 'driftline', from.secure);
  const signedIn = session === null ? null : withSession(records, session, from, now);
  if (signedIn !== null) return signedIn;
  const wall = cookieIn(headers.cookie, 'driftline-wall', from.secure);
  return (wall === null ? null : withToken(records, wall, from)) ?? nobody;
}

type From = Pick<Caller, 'address' | 'secure'>;

function withToken(records: AccessRecords, secret: string, from: From): Caller | null {
  if (secret.length > LONGEST_SECRET) return null;
  // Looked up by its hash: the time that takes tells nothing of the secret.
  const token = records.tokens.find(secretHash(secret));
  if (token === null) return null;
  const by = token.kind === 'wall' ? 'wall' : 'token';
  return { who: `${by} "${token.name}"`, role: token.role, by, person: null, session: null, ...from };
}

function withSession(records: AccessRecords, secret: string, from: From, now: number): Caller | null {
  if (secret.length > LONGEST_SECRET) return null;
  const session = records.sessions.find(secretHash(secret), now);
  const person = session === null ? null : records.people.byId(session.person);
  if (session === null || person === null || person.revokedAt !== null) return null;
  if (now - session.seenAt > SEEN_GAP_MS) records.sessions.seen(session.id, now);
  return { who: person.name, role: person.role, by: 'session', person: person.id, session: session.id, ...from };
}
