import { expect, test, vi } from 'vitest';
import { ROLES, type Role } from '../../../../collector/contract/index.ts';
import { openHouse } from './open-house.ts';

// Whoever signs in costs a second of derivation, and each address is asked by everybody.
vi.setConfig({ testTimeout: 90_000 });

interface Document {
  readonly paths: Record<string, Record<string, { readonly description?: string }>>;
}

test('every address lets in its own role and those above it, and nobody else', async () => {
  const { get, post, bearer } = await openHouse();
  const headers = Object.fromEntries(ROLES.map((role) => [role, bearer(role)])) as Record<Role, Record<string, string>>;
  const document = (await get('/api/openapi.json', { headers: headers.wall })).body as Document;
  let checked = 0;
  for (const [path, methods] of Object.entries(document.paths))
    for (const [method, { description }] of Object.entries(methods)) {
      const least = /^Least role: (\w+)\.$/.exec(description ?? '')?.[1] as Role | undefined;
      if (least === undefined) continue;
      const address = path.replace(/\{\w+\}/g, '999');
      const ask = async (given: Record<string, string>) =>
        (method === 'get' ? get(address, { headers: given }) : post(address, {}, given, method.toUpperCase())).then(
          ({ status, body }) => ({ status, code: (body as { code?: string }).code }),
        );
      expect(await ask({}), `${method} ${path} by nobody`).toMatchObject({ status: 401, code: 'SIGN_IN_NEEDED' });
      for (const role of ROLES) {
        const { code } = await ask(headers[role]);
        const refused = ROLES.indexOf(role) < ROLES.indexOf(least);
        expect(code === 'ROLE_TOO_LOW', `${method} ${path} by ${role} answered ${code}`).toBe(refused);
      }
      checked += 1;
    }
  expect(checked).toBeGreaterThan(25);
});

test('what changes something needs more than a wall, but for one’s own sign-in', async () => {
  const { get, bearer } = await openHouse();
  const document = (await get('/api/openapi.json', { headers: bearer('wall') })).body as Document;
  const open = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods)
      .filter(
        ([method, { description }]) => method !== 'get' && !/fitter|engineer|administrator/.test(description ?? ''),
      )
      .map(([method]) => `${method} ${path}`),
  );
  expect(open.sort()).toEqual([
    'delete /api/me/sessions/{id}',
    'post /api/me/password',
    'post /api/sign-in',
    'post /api/sign-out',
    'post /api/welcome',
  ]);
});

test('a page names answers of the service only to who may have them', async () => {
  const { get, bearer } = await openHouse();
  const link = async (headers: Record<string, string>): Promise<string | null> =>
    (await get('/history?gun=gun-01', { headers })).headers.get('Link');
  expect(await link({})).toBeNull();
  expect(await link(bearer('wall'))).toBeNull();
  expect(await link(bearer('fitter'))).toContain('</api/guns/gun-01/history?points=330>');
});

test.each([
  '/api/guns',
  '/api/events',
  '/metrics',
  '/api/openapi.json',
  '/api/nothing',
  '/API/guns',
  '/api',
  '/metrics/x',
])('who is not signed in learns nothing of %s', async (path) => {
  const { get } = await openHouse();
  expect((await get(path)).body).toMatchObject({ status: 401, code: 'SIGN_IN_NEEDED' });
});

test.each(['/healthz', '/readyz', '/api/problems', '/api/me', '/', '/log'])('%s is for anyone', async (path) => {
  const { get } = await openHouse();
  expect((await get(path)).status).toBe(200);
});

test.each([
  ['Basic YW5uYTpwYXNz'],
  ['Bearer'],
  ['Bearer x'],
  [`Bearer ${'x'.repeat(5000)}`],
  ['bearer ../../etc/passwd'],
])('"Authorization: %s" lets nobody in', async (authorization) => {
  const { get } = await openHouse();
  expect((await get('/api/guns', { headers: { Authorization: authorization } })).status).toBe(401);
});

test('a role that was lowered, and an account that was taken away, count from the next request on', async () => {
  const { get, post, bearer, access } = await openHouse();
  const administrator = bearer('administrator');
  const engineer = bearer('engineer');
  expect((await get('/api/quarantine', { headers: engineer })).status).not.toBe(401);
  const [, token] = access.store.access.tokens.list();
  expect((await post(`/api/tokens/${token?.id}`, undefined, administrator, 'DELETE')).status).toBe(200);
  expect((await get('/api/quarantine', { headers: engineer })).status).toBe(401);
});

test('who asks is named in what they write', async () => {
  const { post, bearer, access } = await openHouse();
  const entry = { gun: 'gun-01', part: 'nozzle', action: 'cleaned' };
  expect((await post('/api/log', entry, bearer('fitter'))).status).toBe(201);
  expect(access.store.audit.list({ limit: 1 })[0]).toMatchObject({
    who: 'token "program 1"',
    what: 'POST /api/log',
    detail: JSON.stringify(entry),
    origin: '127.0.0.1',
  });
});

test('what was refused is not in the audit trail', async () => {
  const { post, bearer, access } = await openHouse();
  const wall = bearer('wall');
  const before = access.store.audit.lastId();
  await post('/api/log', { gun: 'gun-01', part: 'nozzle', action: 'cleaned' }, wall);
  await post('/api/log', { gun: 'gun-99' }, bearer('fitter'));
  expect(access.store.audit.list().filter(({ id, what }) => id > before && what.startsWith('POST'))).toEqual([]);
});
