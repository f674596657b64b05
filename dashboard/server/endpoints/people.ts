import { z } from 'zod';
import { type Code, ROLES } from '../../../collector/contract/index.ts';
import type { Person } from '../../../collector/index.ts';
import { actorOf } from '../access/desk.ts';
import { deskOf } from '../access/desk-of.ts';
import { addPerson, linkFor, restorePerson, revokePerson, setRole, signOutEverywhere } from '../access/people-book.ts';
import { endpoint, ok } from '../endpoint.ts';

const PROBLEMS: readonly Code[] = ['ACCOUNT_INVALID', 'NOT_FOUND'];

export const PersonShown = z
  .strictObject({
    name: z.string(),
    role: z.enum(ROLES),
    state: z.enum(['active', 'invited', 'revoked']).meta({ description: 'invited: has not chosen a password yet' }),
    since: z.iso.datetime(),
    sessions: z.number().int().meta({ description: 'Browsers in which they are signed in' }),
  })
  .meta({ id: 'Person' });
export type PersonShown = z.infer<typeof PersonShown>;

export const Invitation = z
  .strictObject({
    name: z.string(),
    path: z.string().meta({ description: 'Address on this service by which they choose a password, once, in 3 days' }),
  })
  .meta({ id: 'Invitation' });
export type Invitation = z.infer<typeof Invitation>;

/** Address of the page on which the owner of a link chooses a password; behind "#" it never reaches a server's log. */
export const welcomePath = (link: string): string => `/welcome#${link}`;

const Name = z.strictObject({ name: z.string().min(1).max(100) });
const Role = z.enum(ROLES);

export const people = endpoint({
  method: 'get',
  path: '/api/people',
  summary: 'Everybody who has an account, or had one',
  role: 'administrator',
  success: { 200: 'People' },
  answer: z.array(PersonShown),
  problems: ['NOT_FOUND'],
  handle(call) {
    const { access } = deskOf(call).source.store;
    const sessions = access.sessions.list(call.clock.now());
    return ok(access.people.list().map((one) => shown(one, sessions.filter(({ person }) => person === one.id).length)));
  },
});

const InviteBody = z.strictObject({ name: z.string().min(1).max(100), role: Role }).meta({ id: 'PersonBody' });

export const invite = endpoint({
  method: 'post',
  path: '/api/people',
  summary: 'Gives a person an account, and a one-time link by which they choose their password',
  role: 'administrator',
  body: InviteBody,
  success: { 201: 'Added; the link is shown this once' },
  answer: Invitation,
  problems: PROBLEMS,
  audits: true,
  handle(call, { body }) {
    const desk = deskOf(call);
    if (body.role !== 'administrator') desk.refuseBeforeAdministrator();
    const { person, link } = addPerson(desk.tools, body, actorOf(call.caller, call.clock.now()));
    desk.source.changed();
    return { status: 201, body: { name: person.name, path: welcomePath(link) } };
  },
});

export const newLink = endpoint({
  method: 'post',
  path: '/api/people/:name/link',
  summary: 'Makes a new one-time link, for who has forgotten their password; earlier links end',
  role: 'administrator',
  params: Name,
  success: { 201: 'Made; shown this once' },
  answer: Invitation,
  problems: PROBLEMS,
  audits: true,
  handle(call, { params }) {
    const { person, link } = linkFor(deskOf(call).tools, params.name, actorOf(call.caller, call.clock.now()));
    return { status: 201, body: { name: person.name, path: welcomePath(link) } };
  },
});

export const changeRole = endpoint({
  method: 'put',
  path: '/api/people/:name/role',
  summary: 'Gives a person another role, from their next request on',
  role: 'administrator',
  params: Name,
  body: z.strictObject({ role: Role }).meta({ id: 'RoleBody' }),
  success: { 200: 'Changed' },
  answer: PersonShown,
  problems: PROBLEMS,
  audits: true,
  handle(call, { params, body }) {
    const { source } = deskOf(call);
    const person = setRole(source.store, params.name, body.role, actorOf(call.caller, call.clock.now()));
    source.changed();
    return ok(shown(person, source.store.access.sessions.list(call.clock.now(), person.id).length));
  },
});

export const revoke = endpoint({
  method: 'delete',
  path: '/api/people/:name',
  summary: 'Takes an account away: its sessions and links end at once',
  role: 'administrator',
  params: Name,
  success: { 200: 'Revoked' },
  answer: PersonShown,
  problems: PROBLEMS,
  audits: true,
  handle(call, { params }) {
    const { source } = deskOf(call);
    const person = revokePerson(source.store, params.name, actorOf(call.caller, call.clock.now()));
    source.changed();
    return ok(shown(person, 0));
  },
});

export const restore = endpoint({
  method: 'post',
  path: '/api/people/:name/restore',
  summary: 'Gives a revoked account back, with its role and password',
  role: 'administrator',
  params: Name,
  success: { 200: 'Restored' },
  answer: PersonShown,
  problems: PROBLEMS,
  audits: true,
  handle(call, { params }) {
    const { store } = deskOf(call).source;
    return ok(shown(restorePerson(store, params.name, actorOf(call.caller, call.clock.now())), 0));
  },
});

export const endSessions = endpoint({
  method: 'delete',
  path: '/api/people/:name/sessions',
  summary: 'Signs a person out everywhere',
  role: 'administrator',
  params: Name,
  success: { 200: 'Ended' },
  answer: z.strictObject({ ended: z.number().int() }),
  problems: PROBLEMS,
  audits: true,
  handle(call, { params }) {
    const { source } = deskOf(call);
    const ended = signOutEverywhere(source.store, params.name, actorOf(call.caller, call.clock.now()));
    source.changed();
    return ok({ ended });
  },
});

function shown({ name, role, password, createdAt, revokedAt }: Person, sessions: number): PersonShown {
  const state = revokedAt !== null ? 'revoked' : password === null ? 'invited' : 'active';
  return { name, role, state, since: new Date(createdAt).toISOString(), sessions };
}
