import { request } from 'node:http';
import { connect } from 'node:net';
import type { MqttClient } from 'mqtt';
import { expect, test, vi } from 'vitest';
import { revokeStation, rotateStation } from '../../collector/index.ts';
import { ACTOR, client, folder, guardedService, stationSecret, tokenSecret } from './guarded-service.ts';

// Whole services start here, on machines that are busy with other tests.
vi.setConfig({ testTimeout: 90_000 });

const PACK = JSON.stringify([{ n: 'conveying/pressure', u: 'bar', v: 1.6 }]);

/** Resolves when the service has ended this connection. */
const ended = (one: MqttClient): Promise<void> => new Promise((resolve) => one.once('close', () => resolve()));

/** Asks with a path and headers exactly as given, which fetch would put in order. */
function rawly(
  url: string,
  path: string,
  options: { method?: string; headers?: Record<string, string>; body?: string } = {},
) {
  const { hostname, port } = new URL(url);
  const { method = 'GET', headers = {}, body = '' } = options;
  return new Promise<{ status: number; bytes: number; text: string }>((resolve, reject) => {
    const asked = request({ host: hostname, port, path, method, headers }, (answer) => {
      let text = '';
      answer.setEncoding('utf8').on('data', (piece: string) => {
        text += piece;
      });
      answer.on('end', () => resolve({ status: answer.statusCode ?? 0, bytes: text.length, text }));
    });
    asked.on('error', reject);
    asked.end(body);
  });
}

test('over MQTT everything but a station’s own is refused, told once, and goes nowhere', async () => {
  const { service, lines, book } = await guardedService({ accounts: { required: true } });
  const secrets = { one: stationSecret(book, 'gun-01'), two: stationSecret(book, 'gun-02'), andon: '' };
  secrets.andon = stationSecret(book, 'andon', 'reader');
  const { mqttUrl } = service;
  const told = (words: string): number => lines.filter((line) => line.includes(words)).length;

  // MQTT 3.1.1, table 3.1: 4 bad user name or password, 5 not authorized.
  await expect(client(mqttUrl, {})).rejects.toMatchObject({ code: 5 });
  await expect(client(mqttUrl, { username: 'gun-01', password: secrets.two })).rejects.toMatchObject({ code: 4 });
  await expect(client(mqttUrl, { username: 'nobody', password: secrets.two })).rejects.toMatchObject({ code: 4 });
  const will = { topic: 'airlines/hall-2/gun-02/online', payload: Buffer.from('false'), qos: 1, retain: true } as const;
  await expect(client(mqttUrl, { username: 'gun-01', password: secrets.one, will })).rejects.toMatchObject({ code: 5 });
  expect(told('connection ended')).toBe(4);

  const andon = await client(mqttUrl, { username: 'andon', password: secrets.andon });
  const heard: string[] = [];
  andon.on('message', (topic) => heard.push(topic));
  await andon.subscribeAsync('airlines/hall-2/+/condition', { qos: 1 });
  const second = await client(mqttUrl, { username: 'gun-02', password: secrets.two, clientId: 'node-2' });
  const first = await client(mqttUrl, { username: 'gun-01', password: secrets.one, clientId: 'node-1' });
  for (const filter of ['#', 'airlines/#', 'airlines/hall-2/+', '+/+/+', 'airlines/hall-2/gun-02', '$SYS/#'])
    await expect(first.subscribeAsync(filter), filter).rejects.toThrow();
  for (const topic of [
    'airlines/hall-2/gun-02',
    'airlines/hall-2/gun-02/online',
    'airlines/hall-2/gun-01/condition',
    'airlines/hall-3/gun-01',
    'airlines/hall-2',
    'elsewhere',
  ])
    for (const qos of [0, 1, 2] as const) await first.publishAsync(topic, PACK, { qos });
  await andon.publishAsync('airlines/hall-2/gun-01', PACK, { qos: 1 });
  // Six filters and seven topics, each told once however often it is tried.
  expect(told('not allowed')).toBe(13);
  for (let more = 0; more < 50; more++) await first.publishAsync(`elsewhere/${more}`, PACK, { qos: 1 });
  expect(told('not allowed')).toBe(21);

  await first.publishAsync('airlines/hall-2/gun-01', PACK, { qos: 1 });
  expect(book.store.readings.stations().map(({ station }) => station)).toEqual(['gun-01']);
  expect(book.store.broker.online()).toEqual([]);
  expect(book.store.quarantine.list()).toEqual([]);
  expect(heard.filter((topic) => !topic.endsWith('/condition'))).toEqual([]);

  // Somebody else's client id: the newcomer is refused, and whoever has it stays.
  await expect(
    client(mqttUrl, { username: 'gun-01', password: secrets.one, clientId: 'node-2' }),
  ).rejects.toMatchObject({
    code: 2,
  });
  expect(second.connected).toBe(true);

  // Another program on the same folder takes the accounts away.
  const gone = [ended(first), ended(second)];
  revokeStation(book.store, 'gun-01', ACTOR);
  const { secret: renewed } = rotateStation(book, 'gun-02', ACTOR);
  await Promise.all(gone);
  await expect(client(mqttUrl, { username: 'gun-01', password: secrets.one })).rejects.toMatchObject({ code: 4 });
  await expect(client(mqttUrl, { username: 'gun-02', password: secrets.two })).rejects.toMatchObject({ code: 4 });
  await client(mqttUrl, { username: 'gun-02', password: renewed });

  for (const secret of [...Object.values(secrets), renewed]) expect(lines.join('\n')).not.toContain(secret);
});

test('an account has no more connections than it may, keeps those that it has, and takes nobody else’s room', async () => {
  const { service, lines, book } = await guardedService({
    accounts: { required: true },
    broker: { port: 0, maxConnectionsOfAccount: 2 },
  });
  const [one, two] = [stationSecret(book, 'gun-01'), stationSecret(book, 'gun-02')];
  const enter = (username: string, password: string, clientId: string): Promise<MqttClient> =>
    client(service.mqttUrl, { username, password, clientId });
  const first = await enter('gun-01', one, 'node-1');
  const second = await enter('gun-01', one, 'node-2');
  // MQTT 3.1.1, table 3.1: 3 server unavailable.
  await expect(enter('gun-01', one, 'node-3')).rejects.toMatchObject({ code: 3 });
  expect(lines.filter((line) => line.includes('its account has 2 connections already'))).toHaveLength(1);
  // Whoever fails to sign in takes none of its room, and has none of another's.
  await expect(enter('gun-01', two, 'node-4')).rejects.toMatchObject({ code: 4 });
  const other = await enter('gun-02', two, 'node-5');
  for (const [who, station] of [
    [first, 'gun-01'],
    [second, 'gun-01'],
    [other, 'gun-02'],
  ] as const)
    await who.publishAsync(`airlines/hall-2/${station}`, PACK, { qos: 1 });
  // A node whose old connection is not known to be dead yet comes back in its place.
  const replaced = ended(second);
  const again = await enter('gun-01', one, 'node-2');
  await replaced;
  await expect(enter('gun-01', one, 'node-3')).rejects.toMatchObject({ code: 3 });
  await first.endAsync();
  await vi.waitFor(() => enter('gun-01', one, 'node-3'), 10_000);
  await again.publishAsync('airlines/hall-2/gun-01', PACK, { qos: 1 });
});

test('over HTTP tricks with paths, hosts, origins and sizes are refused, told once each, and answered shortly', async () => {
  const { httpUrl, lines, book } = await guardedService({ accounts: { required: true } });
  const secret = tokenSecret(book, 'wall', 'wall');
  const Cookie = `driftline-wall=${secret}`;
  const host = new URL(httpUrl).host;
  const json = { 'Content-Type': 'application/json' };
  const entry = JSON.stringify({ gun: 'gun-01', part: 'nozzle', action: 'cleaned' });
  const a = 'a'.repeat(70_000);
  const cases: [string, Parameters<typeof rawly>[2], number][] = [
    ['/..%2f..%2fetc/passwd', { headers: { Cookie } }, 404],
    ['/../../etc/passwd', { headers: { Cookie } }, 404],
    ['/assets/..%2f..%2fpackage.json', {}, 404],
    ['/assets/%2e%2e/%2e%2e/package.json', {}, 404],
    ['/assets/..\\..\\package.json', {}, 404],
    ['/%00', {}, 404],
    ['/%ff', {}, 404],
    ['//api/people', { headers: { Cookie } }, 404],
    ['/api/people', { headers: { Cookie } }, 403],
    ['/API/PEOPLE/', { headers: { Cookie } }, 403],
    ['/api/../api/people', { headers: { Cookie } }, 404],
    ['/api/guns', {}, 401],
    ['/api/guns', { headers: { Cookie, Host: 'evil.example' } }, 421],
    ['/api/guns', { headers: { Cookie, Host: `${host}.evil.example` } }, 421],
    ['/api/log', { method: 'POST', headers: { ...json, Cookie, Origin: 'http://evil.example' }, body: entry }, 403],
    ['/api/log', { method: 'POST', headers: { ...json, Cookie, 'Sec-Fetch-Site': 'cross-site' }, body: entry }, 403],
    ['/api/log', { method: 'POST', headers: { ...json, Cookie }, body: entry }, 403],
    ['/api/log', { method: 'POST', headers: json, body: entry }, 401],
    ['/api/sign-in', { method: 'POST', headers: json, body: JSON.stringify({ name: 'x', password: a }) }, 413],
    ['/api/sign-in', { method: 'POST', headers: { 'Content-Type': 'text/plain' }, body: '{}' }, 415],
    ['/api/sign-in', { method: 'POST', headers: json, body: '{"name":' }, 400],
    ['/healthz', { headers: { 'X-Long': a.slice(0, 20_000) } }, 431],
    [`/${a.slice(0, 20_000)}`, {}, 431],
    [`/wall/${a.slice(0, 43)}`, {}, 401],
    ['/api/guns', { headers: { Authorization: `Bearer ${a.slice(0, 43)}` } }, 401],
    ['/api/guns', { method: 'TRACE', headers: { Cookie } }, 405],
  ];
  const before = lines.length;
  for (const [path, options, status] of cases) {
    const answer = await rawly(httpUrl, path, options);
    expect(answer.status, `${options?.method ?? 'GET'} ${path.slice(0, 60)}`).toBe(status);
    // Short, whatever was sent; the page that a broken wall link shows is the same for everybody.
    if (!path.startsWith('/wall/')) expect(answer.bytes).toBeLessThan(1000);
    expect(answer.text).not.toContain(secret);
  }
  const refusals = lines.slice(before).filter((line) => line.includes('a request was refused'));
  expect(refusals).toHaveLength(cases.length);
  expect(lines.join('\n')).not.toContain(secret);
  expect(lines.join('\n')).not.toContain('aaaa');
  expect(book.store.log.list()).toEqual([]);

  // What is no HTTP at all, by the dozen: the log does not grow with it.
  const { hostname, port } = new URL(httpUrl);
  for (let count = 0; count < 60; count += 1)
    await new Promise<void>((resolve) => {
      const socket = connect(Number(port), hostname, () => socket.write('\x16\x03\x01 no HTTP\r\n\r\n'));
      socket.on('close', () => resolve());
      socket.on('error', () => socket.destroy());
      socket.resume();
    });
  expect(lines.slice(before).length).toBeLessThanOrEqual(32);
});

test('the first start with accounts tells the administrator’s one-time link once, on no log', async () => {
  const dir = folder();
  const { service, lines, book, httpUrl } = await guardedService({ accounts: { required: true } }, dir);
  const token = /\/welcome#([\w-]{43})$/.exec(service.notice ?? '')?.[1] ?? '';
  expect(lines.join('\n')).not.toContain(token);
  expect((await fetch(`${httpUrl}/api/guns`)).status).toBe(401);
  const post = (path: string, body: object, headers = {}) =>
    fetch(httpUrl + path, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', ...headers },
      body: JSON.stringify(body),
    });
  const password = 'a word that is long';
  const answer = await post('/api/welcome', { token, password });
  expect(await answer.json()).toEqual({ who: 'administrator', role: 'administrator' });
  const Cookie = (answer.headers.get('Set-Cookie') ?? '').split(';')[0] ?? '';
  expect((await post('/api/log', { gun: 'gun-01', part: 'nozzle', action: 'cleaned' }, { Cookie })).status).toBe(201);

  const trail = (await (await fetch(`${httpUrl}/api/audit`, { headers: { Cookie } })).json()) as object[];
  expect(trail[0]).toMatchObject({ who: 'administrator', what: 'POST /api/log', origin: '127.0.0.1' });
  const everything = [
    lines.join('\n'),
    JSON.stringify(trail),
    await (await fetch(`${httpUrl}/api/people`, { headers: { Cookie } })).text(),
  ];
  for (const secret of [
    token,
    password,
    Cookie.split('=')[1] ?? '',
    book.store.access.people.list()[0]?.password ?? '',
  ])
    for (const text of everything) expect(text).not.toContain(secret);

  await service.stop();
  const again = await guardedService({}, dir);
  expect(again.service.notice).toBeNull();
  expect((await fetch(`${again.httpUrl}/api/guns`)).status).toBe(401);
});

test('accounts that are set up while the service runs close the door at once', async () => {
  const { service, httpUrl, book } = await guardedService({});
  const anonymous = await client(service.mqttUrl, {});
  await anonymous.publishAsync('airlines/hall-2/gun-01', PACK, { qos: 1 });
  expect((await fetch(`${httpUrl}/api/guns`)).status).toBe(200);
  const gone = ended(anonymous);
  stationSecret(book, 'gun-01');
  await gone;
  expect((await fetch(`${httpUrl}/api/guns`)).status).toBe(401);
  await expect(client(service.mqttUrl, {})).rejects.toMatchObject({ code: 5 });
});
