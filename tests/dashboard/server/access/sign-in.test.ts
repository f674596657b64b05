import { expect, test, vi } from 'vitest';
import { NOON } from '../../hall-guns.ts';
import { cookieOf, openHouse } from './open-house.ts';

// Every password costs a second of a core, more on a busy machine.
vi.setConfig({ testTimeout: 90_000 });

const PASSWORD = 'a long enough word';

test('a one-time link lets its owner choose a password and sign in, once', async () => {
  const { get, post, invite, access } = await openHouse();
  const token = invite('Anna', 'fitter');
  const weak = await post('/api/welcome', { token, password: 'short' });
  expect(weak.body).toMatchObject({ status: 422, code: 'ACCOUNT_INVALID' });
  const answer = await post('/api/welcome', { token, password: PASSWORD });
  expect(answer.body).toEqual({ who: 'Anna', role: 'fitter' });
  const cookie = answer.headers.get('Set-Cookie') ?? '';
  expect(cookie).toMatch(/^driftline=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=604800$/);
  const me = await get('/api/me', { headers: { Cookie: cookieOf(answer.headers) } });
  expect(me.body).toEqual({ accounts: true, who: 'Anna', role: 'fitter', by: 'session' });

  expect((await post('/api/welcome', { token, password: PASSWORD })).body).toMatchObject({
    status: 401,
    code: 'SIGN_IN_REFUSED',
  });
  expect(access.store.audit.list().map(({ who, what }) => `${who}: ${what}`)).toEqual([
    'Anna: signed in by link',
    'Anna: password changed',
    'test: person added',
  ]);
});

test('a link ends after three days, with the next one, and with the account', async () => {
  let now = NOON;
  const { post, invite, access } = await openHouse({ time: () => now });
  const token = invite('Anna', 'fitter');
  now += 3 * 86_400_000;
  expect((await post('/api/welcome', { token, password: PASSWORD })).status).toBe(401);
  now = NOON;
  access.store.access.people.revoke(access.store.access.people.byName('Anna')?.id ?? 0, now);
  expect((await post('/api/welcome', { token, password: PASSWORD })).status).toBe(401);
});

test('name and password sign in; a wrong name, a wrong password and no password chosen yet are told alike', async () => {
  const { post, invite } = await openHouse();
  await post('/api/welcome', { token: invite('Anna', 'fitter'), password: PASSWORD });
  invite('Boris', 'fitter');
  expect((await post('/api/sign-in', { name: 'ANNA', password: PASSWORD })).status).toBe(200);
  const refusals = await Promise.all(
    [
      { name: 'Anna', password: 'not this one' },
      { name: 'Nobody', password: PASSWORD },
      { name: 'Boris', password: PASSWORD },
    ].map(async (body) => (await post('/api/sign-in', body)).body),
  );
  for (const refusal of refusals)
    expect(refusal).toEqual({
      type: '/api/problems#SIGN_IN_REFUSED',
      title: 'Signing in was refused',
      status: 401,
      detail: 'name and password do not belong together',
      code: 'SIGN_IN_REFUSED',
    });
});

test('who guesses is slowed down, others are not', async () => {
  const { post, invite } = await openHouse();
  await post('/api/welcome', { token: invite('Anna', 'fitter'), password: PASSWORD });
  const guess = (name: string) => post('/api/sign-in', { name, password: 'not this one' });
  const answers: number[] = [];
  for (let count = 0; count < 6; count += 1) answers.push((await guess('Boris')).status);
  expect(answers).toEqual([401, 401, 401, 401, 401, 429]);
  expect((await post('/api/sign-in', { name: 'Anna', password: PASSWORD })).status).toBe(200);
});

test('more checks at once than an address may have wait for nobody', async () => {
  const { post } = await openHouse();
  const all = await Promise.all(
    ['a', 'b', 'c', 'd', 'e', 'f'].map(async (name) => (await post('/api/sign-in', { name, password: 'x' })).status),
  );
  expect(all.filter((status) => status === 401)).toHaveLength(4);
  expect(all.filter((status) => status === 429)).toHaveLength(2);
});

test('sessions are listed, end one by one, by signing out, and with a new password all others', async () => {
  const { get, post, invite } = await openHouse();
  const first = cookieOf((await post('/api/welcome', { token: invite('Anna', 'fitter'), password: PASSWORD })).headers);
  const second = cookieOf((await post('/api/sign-in', { name: 'Anna', password: PASSWORD })).headers);
  const third = cookieOf((await post('/api/sign-in', { name: 'Anna', password: PASSWORD })).headers);
  const signedIn = async (cookie: string) => (await get('/api/guns', { headers: { Cookie: cookie } })).status === 200;
  const listed = (await get('/api/me/sessions', { headers: { Cookie: first } })).body as {
    id: number;
    current: boolean;
  }[];
  expect(listed.map(({ current }) => current)).toEqual([false, false, true]);

  const newest = listed[0]?.id;
  expect((await post(`/api/me/sessions/${newest}`, undefined, { Cookie: first }, 'DELETE')).body).toEqual({ ended: 1 });
  expect(await signedIn(third)).toBe(false);

  const change = { current: PASSWORD, next: 'another long enough word' };
  expect((await post('/api/me/password', { ...change, current: 'wrong' }, { Cookie: first })).status).toBe(401);
  expect((await post('/api/me/password', change, { Cookie: first })).status).toBe(200);
  expect([await signedIn(first), await signedIn(second)]).toEqual([true, false]);

  const out = await post('/api/sign-out', undefined, { Cookie: first });
  expect(out.headers.getSetCookie()).toEqual([
    'driftline=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0',
    'driftline-wall=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0',
  ]);
  expect(await signedIn(first)).toBe(false);
});

test('nobody ends somebody else’s session', async () => {
  const { get, post, invite } = await openHouse();
  const anna = cookieOf((await post('/api/welcome', { token: invite('Anna', 'fitter'), password: PASSWORD })).headers);
  const boris = cookieOf(
    (await post('/api/welcome', { token: invite('Boris', 'administrator'), password: PASSWORD })).headers,
  );
  const [session] = (await get('/api/me/sessions', { headers: { Cookie: boris } })).body as { id: number }[];
  expect((await post(`/api/me/sessions/${session?.id}`, undefined, { Cookie: anna }, 'DELETE')).status).toBe(404);
  expect((await get('/api/people', { headers: { Cookie: boris } })).status).toBe(200);
});

test('a session holds a week', async () => {
  let now = NOON;
  const { get, post, invite } = await openHouse({ time: () => now });
  const cookie = cookieOf(
    (await post('/api/welcome', { token: invite('Anna', 'fitter'), password: PASSWORD })).headers,
  );
  now += 7 * 86_400_000 - 1;
  expect((await get('/api/guns', { headers: { Cookie: cookie } })).status).toBe(200);
  now += 1;
  expect((await get('/api/guns', { headers: { Cookie: cookie } })).status).toBe(401);
});

test.each([
  ['too long', JSON.stringify({ name: 'Anna', password: 'hunter2'.repeat(200) })],
  ['a number', '{"name":"Anna","password":7777777}'],
  ['no JSON', '{"name":"Anna","password":hunter2}'],
  ['no JSON and long', `{"name":"Anna","password":hunter2,"x":"${'y'.repeat(200)}"}`],
])('a password that is %s is not repeated in the answer', async (_, body) => {
  const { post } = await openHouse();
  for (const path of ['/api/sign-in', '/api/welcome']) {
    const answer = await post(path, body);
    expect(answer.status).toBeGreaterThanOrEqual(400);
    expect(JSON.stringify(answer.body)).not.toMatch(/hunter2|7777777/);
  }
});
