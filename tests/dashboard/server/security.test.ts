import { request } from 'node:http';
import { describe, expect, test } from 'vitest';
import { hostName, isLoopback } from '../../../dashboard/server/security/host-check.ts';
import { openHall } from '../open-hall.ts';

/** Asks with a Host header of one's own, which fetch does not let one set. */
function askAs(port: number, host: string): Promise<number> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path: '/api/guns', headers: { Host: host } }, (answer) => {
      answer.resume();
      resolve(answer.statusCode ?? 0);
    });
    asked.on('error', reject);
    asked.end();
  });
}

describe('host check', () => {
  test.each(['localhost', 'LOCALHOST', '127.0.0.1', '[::1]'])('%s is this machine', async (host) => {
    const { dashboard } = await openHall();
    expect(await askAs(dashboard.port, `${host}:${dashboard.port}`)).toBe(200);
  });

  test.each(['evil.example', 'localhost.evil.example', '127.0.0.1.evil.example', '10.0.0.1', 'localhost@evil.example'])(
    'a page of %s that was pointed here is refused',
    async (host) => {
      const { dashboard } = await openHall();
      expect(await askAs(dashboard.port, `${host}:${dashboard.port}`)).toBe(421);
    },
  );

  test('a host that is allowed on purpose passes', async () => {
    const { dashboard } = await openHall({ allowedHosts: ['wall.example'] });
    expect(await askAs(dashboard.port, 'wall.example')).toBe(200);
  });

  test('host names are read without their port', () => {
    expect(hostName('Localhost:80')).toBe('localhost');
    expect(hostName('[::1]:8080')).toBe('[::1]');
    expect(hostName('a b')).toBeNull();
    expect(hostName(undefined)).toBeNull();
  });

  test('only addresses of this machine are loopback', () => {
    expect(['127.0.0.1', '127.8.8.8', '::1', 'localhost'].every(isLoopback)).toBe(true);
    expect(['0.0.0.0', '::', '10.0.0.1', '127.0.0.1.example'].some(isLoopback)).toBe(false);
  });
});

describe('origin check', () => {
  const entry = { gun: 'gun-01', part: 'nozzle', action: 'cleaned' };

  test.each([
    { Origin: 'http://evil.example' },
    { Origin: 'null' },
    { Origin: 'http://127.0.0.1:1' },
    { 'Sec-Fetch-Site': 'cross-site' },
    { 'Sec-Fetch-Site': 'same-site' },
  ])('an entry from another page is refused: %o', async (headers) => {
    const { get, post } = await openHall();
    const answer = await post('/api/log', entry, headers as Record<string, string>);
    expect(answer.body).toMatchObject({ status: 403, code: 'ORIGIN_REFUSED' });
    expect((await get('/api/log')).body).toEqual([]);
  });

  test('an entry from our own page is taken, and one from a program', async () => {
    const { url, post } = await openHall();
    expect((await post('/api/log', entry, { Origin: url, 'Sec-Fetch-Site': 'same-origin' })).status).toBe(201);
    expect((await post('/api/log', entry)).status).toBe(201);
  });
});

test('only files of our own run or are styled, and nobody frames us', async () => {
  const { get } = await openHall();
  for (const path of ['/', '/api/guns', '/api/nothing']) {
    const { headers } = await get(path);
    const policy = headers.get('Content-Security-Policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|https?:|\*/);
    expect(headers.get('X-Content-Type-Options')).toBe('nosniff');
    expect(headers.has('X-Powered-By')).toBe(false);
  }
});

test('more entries a minute than hands can write are refused', async () => {
  const { post } = await openHall();
  let last = 0;
  for (let count = 0; count < 301; count += 1)
    last = (await post('/api/log', { gun: 'gun-01', part: 'nozzle', action: 'cleaned' })).status;
  expect(last).toBe(429);
});
