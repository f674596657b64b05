import { expect, test } from 'vitest';
import { cookieOf, openHouse } from './open-house.ts';

async function withWall() {
  const house = await openHouse();
  const administrator = house.bearer('administrator');
  const made = await house.post('/api/tokens', { name: 'Hall screen', kind: 'wall' }, administrator);
  const { path, secret } = made.body as { path: string; secret: null };
  const open = (address = path) => house.get(address, { redirect: 'manual' });
  return { ...house, administrator, path, secret, open };
}

test('a wall’s link has 256 random bits, opens the wall, and leaves no secret in the address', async () => {
  const { path, secret, open, get } = await withWall();
  expect(Buffer.from(path.slice('/wall/'.length), 'base64url')).toHaveLength(32);
  expect(secret).toBeNull();
  const answer = await open();
  expect([answer.status, answer.headers.get('Location')]).toEqual([303, '/']);
  expect(answer.headers.get('Set-Cookie')).toMatch(/^driftline-wall=.*; HttpOnly; SameSite=Strict/);
  expect(answer.headers.get('Cache-Control')).toBe('no-store');
  const wall = await get('/api/wall', { headers: { Cookie: cookieOf(answer.headers) } });
  expect(wall.status).toBe(200);
});

test('a stolen wall link writes nothing and sees no accounts', async () => {
  const { open, get, post, path, access } = await withWall();
  const cookie = cookieOf((await open()).headers);
  const entry = { gun: 'gun-01', part: 'nozzle', action: 'cleaned' };
  for (const headers of [{ Cookie: cookie }, { Authorization: `Bearer ${path.slice('/wall/'.length)}` }])
    for (const [method, address, body] of [
      ['POST', '/api/log', entry],
      ['POST', '/api/people', { name: 'Eve', role: 'administrator' }],
      ['POST', '/api/tokens', { name: 'mine', kind: 'api', role: 'administrator' }],
      ['POST', '/api/station-accounts', { name: 'gun-01' }],
      ['DELETE', '/api/tokens/1', undefined],
      ['PUT', '/api/people/Anna/role', { role: 'administrator' }],
    ] as const) {
      const answer = await post(address, body, headers, method);
      expect(answer.body, `${method} ${address}`).toMatchObject({ status: 403, code: 'ROLE_TOO_LOW' });
    }
  for (const address of ['/api/people', '/api/tokens', '/api/station-accounts', '/api/audit', '/api/quarantine'])
    expect((await get(address, { headers: { Cookie: cookie } })).status).toBe(403);
  expect(access.store.access.people.list()).toEqual([]);
});

test('a revoked link opens nothing, and its cookie is worth nothing', async () => {
  const { open, get, post, administrator, access } = await withWall();
  const cookie = cookieOf((await open()).headers);
  const id = access.store.access.tokens.list().find(({ kind }) => kind === 'wall')?.id;
  await post(`/api/tokens/${id}`, undefined, administrator, 'DELETE');
  const answer = await open();
  expect([answer.status, answer.headers.get('Set-Cookie')]).toEqual([401, null]);
  expect(answer.type).toContain('text/html');
  expect((await get('/api/wall', { headers: { Cookie: cookie } })).status).toBe(401);
});

test('a link that never was is told once in the log, without itself', async () => {
  const { open, refused } = await withWall();
  expect((await open(`/wall/${'x'.repeat(43)}`)).status).toBe(401);
  expect((await open(`/wall/${'x'.repeat(4000)}`)).status).toBe(401);
  expect(refused).toHaveLength(2);
  expect(JSON.stringify(refused)).not.toContain('xxx');
});

test('a program’s token opens no wall', async () => {
  const { open, bearer } = await withWall();
  const token = Object.values(bearer('wall'))[0]?.replace('Bearer ', '');
  expect((await open(`/wall/${token}`)).status).toBe(401);
});

test('an event stream ends soon after its link was revoked', async () => {
  const { open, post, administrator, access, url } = await withWall();
  const cookie = cookieOf((await open()).headers);
  const stream = await fetch(`${url}/api/events`, { headers: { Cookie: cookie } });
  expect(stream.status).toBe(200);
  const id = access.store.access.tokens.list().find(({ kind }) => kind === 'wall')?.id;
  await post(`/api/tokens/${id}`, undefined, administrator, 'DELETE');
  // Ends by itself: the text of an endless stream would never be complete.
  expect(await stream.text()).toContain('event: wall');
});

test('without accounts a wall’s address is the wall', async () => {
  const { get } = await openHouse({ accounts: false });
  const answer = await get('/wall/anything', { redirect: 'manual' });
  expect([answer.status, answer.headers.get('Location')]).toEqual([303, '/']);
});
