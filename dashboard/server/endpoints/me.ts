import { z } from 'zod';
import { AppError, ROLES } from '../../../collector/contract/index.ts';
import type { Person } from '../../../collector/index.ts';
import { dropCookie } from '../access/cookies.ts';
import { actorOf } from '../access/desk.ts';
import { deskOf } from '../access/desk-of.ts';
import { type Call, endpoint, ok } from '../endpoint.ts';
import { fromOf } from './sign-in.ts';

export const Me = z
  .strictObject({
    accounts: z.boolean().meta({ description: 'Whether accounts are set up; without, whoever sits here may do all' }),
    who: z.string().nullable().meta({ description: 'Null when nobody is signed in' }),
    role: z.enum(ROLES).nullable(),
    by: z.enum(['local', 'nobody', 'session', 'token', 'wall']),
  })
  .meta({ id: 'Me' });
export type Me = z.infer<typeof Me>;

export const me = endpoint({
  method: 'get',
  path: '/api/me',
  summary: 'Who is signed in here, and what they may do',
  role: 'anyone',
  success: { 200: 'Who asks' },
  answer: Me,
  problems: [],
  handle({ caller, desk }) {
    const { who, role, by } = caller;
    return ok({ accounts: desk?.source.required() ?? false, who: by === 'nobody' ? null : who, role, by });
  },
});

export const OwnSession = z
  .strictObject({
    id: z.number().int(),
    since: z.iso.datetime(),
    until: z.iso.datetime(),
    lastSeen: z.iso.datetime().meta({ description: 'To within five minutes' }),
    address: z.string(),
    agent: z.string().meta({ description: 'What the browser calls itself' }),
    current: z.boolean(),
  })
  .meta({ id: 'OwnSession' });
export type OwnSession = z.infer<typeof OwnSession>;

export const mySessions = endpoint({
  method: 'get',
  path: '/api/me/sessions',
  summary: 'Browsers in which the asker is signed in, newest first',
  role: 'wall',
  success: { 200: 'Sessions' },
  answer: z.array(OwnSession),
  problems: ['NOT_FOUND'],
  handle(call) {
    const person = personOf(call);
    const sessions = deskOf(call).source.store.access.sessions.list(call.clock.now(), person.id);
    return ok(
      sessions.map(({ id, createdAt, expiresAt, seenAt, address, agent }) => ({
        id,
        since: iso(createdAt),
        until: iso(expiresAt),
        lastSeen: iso(seenAt),
        address,
        agent,
        current: id === call.caller.session,
      })),
    );
  },
});

export const endMySession = endpoint({
  method: 'delete',
  path: '/api/me/sessions/:id',
  summary: 'Ends one of the asker’s own sessions',
  role: 'wall',
  params: z.strictObject({ id: z.coerce.number().int().min(1) }),
  success: { 200: 'It has ended' },
  answer: z.strictObject({ ended: z.number().int() }),
  problems: ['NOT_FOUND'],
  audits: true,
  handle(call, { params }) {
    const person = personOf(call);
    const { store, changed } = deskOf(call).source;
    const now = call.clock.now();
    const ended = store.transaction(() => {
      const count = store.access.sessions.end(person.id, now, { only: params.id });
      const { who, origin } = actorOf(call.caller, now);
      if (count > 0) store.audit.add({ at: now, who, what: 'session ended', detail: '', origin });
      return count;
    });
    if (ended === 0) throw new AppError('NOT_FOUND', `no session of yours has the number ${params.id}`);
    changed();
    return ok({ ended });
  },
});

export const signOut = endpoint({
  method: 'post',
  path: '/api/sign-out',
  summary: 'Ends this session; of a wall’s link, forgets it in this browser',
  role: 'wall',
  success: { 200: 'Signed out' },
  answer: z.strictObject({ ended: z.number().int() }),
  problems: ['NOT_FOUND'],
  audits: true,
  handle(call) {
    const { caller } = call;
    const { store, changed } = deskOf(call).source;
    const now = call.clock.now();
    let ended = 0;
    if (caller.person !== null && caller.session !== null) {
      ended = store.access.sessions.end(caller.person, now, { only: caller.session });
      store.audit.add({ at: now, who: caller.who, what: 'signed out', detail: '', origin: caller.address });
      changed();
    }
    const cookies = [dropCookie('driftline', caller.secure), dropCookie('driftline-wall', caller.secure)];
    return { status: 200, body: { ended }, headers: { 'Set-Cookie': cookies } };
  },
});

export const changePassword = endpoint({
  method: 'post',
  path: '/api/me/password',
  summary: 'Changes the asker’s own password; their other sessions end',
  role: 'wall',
  body: z
    .strictObject({ current: z.string().min(1).max(1000), next: z.string().min(1).max(1000) })
    .meta({ id: 'PasswordBody' }),
  success: { 200: 'Changed' },
  answer: z.strictObject({ changed: z.literal(true) }),
  problems: ['NOT_FOUND', 'SIGN_IN_REFUSED', 'ACCOUNT_INVALID'],
  audits: true,
  async handle(call, asked) {
    const person = personOf(call);
    const desk = deskOf(call);
    await desk.signIn.change(person, asked.body, call.caller.session ?? 0, fromOf(call, asked));
    desk.source.changed();
    return ok({ changed: true as const });
  },
});

/** @throws {AppError} NOT_FOUND for who is no person: a token, a wall, or nobody in particular */
function personOf(call: Call): Person {
  const { person } = call.caller;
  const found = person === null ? null : deskOf(call).source.store.access.people.byId(person);
  if (found === null) throw new AppError('NOT_FOUND', `${call.who} is no person who has signed in`);
  return found;
}

const iso = (ms: number): string => new Date(ms).toISOString();
