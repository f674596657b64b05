import { z } from 'zod';
import { type Code, ROLES } from '../../../collector/contract/index.ts';
import type { Token } from '../../../collector/index.ts';
import { actorOf } from '../access/desk.ts';
import { deskOf } from '../access/desk-of.ts';
import { addToken, revokeToken } from '../access/token-book.ts';
import { endpoint, ok } from '../endpoint.ts';

const PROBLEMS: readonly Code[] = ['ACCOUNT_INVALID', 'NOT_FOUND'];
const KINDS = ['api', 'wall'] as const;

export const TokenShown = z
  .strictObject({
    id: z.number().int(),
    kind: z.enum(KINDS).meta({ description: 'api: of a program; wall: the link of a wall screen, which only reads' }),
    name: z.string(),
    role: z.enum(ROLES),
    since: z.iso.datetime(),
    revoked: z.boolean(),
  })
  .meta({ id: 'Token' });
export type TokenShown = z.infer<typeof TokenShown>;

export const NewSecret = z
  .strictObject({
    name: z.string(),
    secret: z.string().nullable().meta({ description: 'For "Authorization: Bearer …"; null for a wall' }),
    path: z.string().nullable().meta({ description: 'Address on this service that a wall opens; null for a program' }),
  })
  .meta({ id: 'NewToken' });
export type NewSecret = z.infer<typeof NewSecret>;

/** Address that a wall screen opens. */
export const wallPath = (secret: string): string => `/wall/${secret}`;

export const tokens = endpoint({
  method: 'get',
  path: '/api/tokens',
  summary: 'Tokens of programs and links of wall screens',
  role: 'administrator',
  success: { 200: 'Tokens' },
  answer: z.array(TokenShown),
  problems: ['NOT_FOUND'],
  handle: (call) => ok(deskOf(call).source.store.access.tokens.list().map(shown)),
});

export const newToken = endpoint({
  method: 'post',
  path: '/api/tokens',
  summary: 'Gives a program a token with a role, or a wall screen its link',
  role: 'administrator',
  body: z
    .strictObject({ name: z.string().min(1).max(100), kind: z.enum(KINDS), role: z.enum(ROLES).default('wall') })
    .meta({ id: 'TokenBody' }),
  success: { 201: 'Added; the secret is shown this once' },
  answer: NewSecret,
  problems: PROBLEMS,
  audits: true,
  handle(call, { body }) {
    const desk = deskOf(call);
    desk.refuseBeforeAdministrator();
    const { token, secret } = addToken(desk.tools, body, actorOf(call.caller, call.clock.now()));
    const wall = token.kind === 'wall';
    desk.source.changed();
    return {
      status: 201,
      body: { name: token.name, secret: wall ? null : secret, path: wall ? wallPath(secret) : null },
    };
  },
});

export const dropToken = endpoint({
  method: 'delete',
  path: '/api/tokens/:id',
  summary: 'Takes a token or link away, at once',
  role: 'administrator',
  params: z.strictObject({ id: z.coerce.number().int().min(1) }),
  success: { 200: 'Revoked' },
  answer: TokenShown,
  problems: PROBLEMS,
  audits: true,
  handle(call, { params }) {
    const { source } = deskOf(call);
    const token = revokeToken(source.store, params.id, actorOf(call.caller, call.clock.now()));
    source.changed();
    return ok(shown(token));
  },
});

function shown({ id, kind, name, role, createdAt, revokedAt }: Token): TokenShown {
  return { id, kind, name, role, since: new Date(createdAt).toISOString(), revoked: revokedAt !== null };
}
