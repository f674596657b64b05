import { z } from 'zod';
import { type Code, ROLES } from '../../../collector/contract/index.ts';
import { setCookie } from '../access/cookies.ts';
import { deskOf } from '../access/desk-of.ts';
import type { From, SignedIn } from '../access/sign-in.ts';
import { type Asked, type Call, endpoint, type Reply } from '../endpoint.ts';

const REFUSALS: readonly Code[] = ['SIGN_IN_REFUSED', 'NOT_FOUND'];

/** Longer than any password that is taken, so that one that is too long is told so. */
const Password = z.string().min(1).max(1000);

const Known = z.strictObject({ who: z.string(), role: z.enum(ROLES) }).meta({ id: 'SignedIn' });

export const signIn = endpoint({
  method: 'post',
  path: '/api/sign-in',
  summary: 'Signs a person in: the answer sets a cookie',
  role: 'anyone',
  body: z.strictObject({ name: z.string().min(1).max(100), password: Password }).meta({ id: 'SignInBody' }),
  success: { 200: 'Signed in' },
  answer: Known,
  problems: REFUSALS,
  audits: true,
  async handle(call, asked) {
    const { name, password } = asked.body;
    return welcomed(call, await deskOf(call).signIn.signIn(name, password, fromOf(call, asked)));
  },
});

export const welcome = endpoint({
  method: 'post',
  path: '/api/welcome',
  summary: 'Takes the token of a one-time link and the password that its owner chooses, and signs them in',
  role: 'anyone',
  body: z.strictObject({ token: z.string().min(1).max(128), password: Password }).meta({ id: 'WelcomeBody' }),
  success: { 200: 'Signed in' },
  answer: Known,
  problems: [...REFUSALS, 'ACCOUNT_INVALID'],
  audits: true,
  async handle(call, asked) {
    const { token, password } = asked.body;
    return welcomed(call, await deskOf(call).signIn.welcome(token, password, fromOf(call, asked)));
  },
});

/** Where a call came from. */
export function fromOf({ caller, clock }: Call, { header }: Pick<Asked<unknown, unknown>, 'header'>): From {
  return { address: caller.address, agent: header('User-Agent') ?? '', now: clock.now() };
}

function welcomed(call: Call, { person, secret }: SignedIn): Reply<z.infer<typeof Known>> {
  const maxAgeS = Math.floor(deskOf(call).source.sessionMs / 1000);
  return {
    status: 200,
    body: { who: person.name, role: person.role },
    headers: { 'Set-Cookie': setCookie('driftline', secret, call.caller.secure, maxAgeS) },
  };
}
