import { expect, test } from 'vitest';
import { secretHash } from '../../../collector/access/secrets.ts';
import { StationAccess } from '../../../collector/access/station-access.ts';
import { parseTopic } from '../../../collector/broker/topics.ts';
import { addStation, revokeStation } from '../../../collector/index.ts';
import { openBook } from './open-book.ts';

const ACTOR = { who: 'anna', origin: '192.0.2.7', now: 0 };

function hall(root = 'airlines') {
  const book = openBook();
  const gun = addStation(book, { name: 'gun-01', kind: 'station' }, null, ACTOR).secret;
  const andon = addStation(book, { name: 'andon', kind: 'reader' }, null, ACTOR).secret;
  let required = true;
  const cameIn: [string, Uint8Array][] = [];
  const access = new StationAccess({
    root,
    site: 'hall-2',
    accounts: book.store.access.stations,
    door: { required: () => required, cameIn: (name, secret) => cameIn.push([name, secret]) },
  });
  const signIn = (userName: string | null, password: string | null) =>
    access.authenticate({ userName, password: password === null ? null : Buffer.from(password) });
  return {
    book,
    access,
    cameIn,
    secrets: { gun, andon },
    signIn,
    open: () => {
      required = false;
    },
    publish: (account: string, topic: string) => access.mayPublish(account, parseTopic(root, topic)),
  };
}

test('user name and password are an account’s name and secret', () => {
  const { signIn, secrets, cameIn } = hall();
  signIn('gun-01', secrets.andon);
  expect(cameIn).toEqual([]);
  expect(signIn('gun-01', secrets.gun)).toEqual({ ok: true, account: 'gun-01' });
  expect(signIn('andon', secrets.andon)).toEqual({ ok: true, account: 'andon' });
  expect(cameIn).toEqual([
    ['gun-01', secretHash(secrets.gun)],
    ['andon', secretHash(secrets.andon)],
  ]);
});

// MQTT 3.1.1, table 3.1: 4 bad user name or password, 5 not authorized.
test.each([
  ['nothing', null, null, 5],
  ['a name alone', 'gun-01', null, 5],
  ['a wrong secret', 'gun-01', 'x', 4],
  ['an empty secret', 'gun-01', '', 4],
  ['an unknown name', 'gun-02', 'x', 4],
  ['an empty name', '', '', 4],
  ['a name in capitals', 'GUN-01', 'x', 4],
])('%s is refused', (_what, name, password, returnCode) => {
  expect(hall().signIn(name, password)).toMatchObject({ ok: false, returnCode });
});

test('a secret belongs to one account, and to nobody once it was revoked', () => {
  const { signIn, secrets, book } = hall();
  expect(signIn('andon', secrets.gun)).toMatchObject({ ok: false, returnCode: 4 });
  revokeStation(book.store, 'gun-01', ACTOR);
  expect(signIn('gun-01', secrets.gun)).toMatchObject({ ok: false, returnCode: 4 });
});

test('a refusal holds no secret', () => {
  expect(JSON.stringify(hall().signIn('gun-01', 'a-wrong-secret'))).not.toContain('a-wrong-secret');
});

test.each([
  ['airlines/hall-2/gun-01', true],
  ['airlines/hall-2/gun-01/online', true],
  ['airlines/hall-2/gun-01/condition', false],
  ['airlines/hall-2/gun-01/anything', false],
  ['airlines/hall-2/gun-02', false],
  ['airlines/hall-2/gun-02/online', false],
  ['airlines/hall-3/gun-01', false],
  ['airlines/hall-2', false],
  ['airlines/hall-2/', false],
  ['airlines', false],
  ['gun-01', false],
  ['elsewhere/hall-2/gun-01', false],
  ['/airlines/hall-2/gun-01', false],
  ['airlines/hall-2/gun-01/', false],
  ['airlines/hall-2/GUN-01', false],
  ['$SYS/broker', false],
])('a station publishes to %s: %s', (topic, may) => {
  const { signIn, secrets, publish } = hall();
  signIn('gun-01', secrets.gun);
  expect(publish('gun-01', topic)).toBe(may);
});

test('a reader publishes nothing, and neither does an account that never signed in', () => {
  const { signIn, secrets, publish } = hall();
  signIn('andon', secrets.andon);
  for (const topic of ['airlines/hall-2/andon', 'airlines/hall-2/gun-01', 'airlines/hall-2/andon/online'])
    expect(publish('andon', topic)).toBe(false);
  expect(publish('gun-01', 'airlines/hall-2/gun-01')).toBe(false);
});

test.each([
  ['airlines/hall-2/gun-01/condition', true, true],
  ['airlines/hall-2/gun-01/online', true, false],
  ['airlines/hall-2/gun-02/condition', false, true],
  ['airlines/hall-2/+/condition', false, true],
  ['airlines/hall-2/gun-01', false, false],
  ['airlines/hall-2/+', false, false],
  ['airlines/hall-2/+/online', false, false],
  ['airlines/hall-3/+/condition', false, false],
  ['airlines/+/+/condition', false, false],
  ['+/hall-2/gun-01/condition', false, false],
  ['airlines/hall-2/#', false, false],
  ['airlines/hall-2/#/condition', false, false],
  ['airlines/#', false, false],
  ['#', false, false],
  ['+/+/+/+', false, false],
  ['airlines/hall-2//condition', false, true],
  ['$SYS/#', false, false],
  ['$SYS/broker/load', false, false],
  ['', false, false],
])('%s: a station may hear it %s, a reader %s', (filter, station, reader) => {
  const { signIn, secrets, access } = hall();
  signIn('gun-01', secrets.gun);
  signIn('andon', secrets.andon);
  expect(access.maySubscribe('gun-01', filter)).toBe(station);
  expect(access.maySubscribe('andon', filter)).toBe(reader);
});

test.each([
  ['spBv1.0/plant/NCMD/edge-1/#', true],
  ['spBv1.0/plant/DCMD/edge-1/device-1', true],
  ['spBv1.0/STATE/driftline', true],
  ['STATE/driftline', true],
  ['spBv1.0/+/NCMD/edge-1/#', false],
  ['spBv1.0/plant/NDATA/edge-1', false],
  ['spBv1.0/#', false],
  ['spBv1.0/plant/NCMD/#', false],
  ['spBv1.0/STATE/+', false],
  ['#', false],
  ['airlines/hall-2/+/condition', false],
])('a gateway may hear %s: %s', (filter, may) => {
  const { book, access, signIn } = hall();
  signIn('gateway', addStation(book, { name: 'gateway', kind: 'gateway' }, null, ACTOR).secret);
  expect(access.maySubscribe('gateway', filter)).toBe(may);
});

test('a gateway publishes what the configuration maps, and nothing else', () => {
  const { book, access, signIn, publish } = hall();
  signIn('gateway', addStation(book, { name: 'gateway', kind: 'gateway' }, null, ACTOR).secret);
  const mapped = parseTopic('airlines', 'gateway/port-1', (topic) => topic === 'gateway/port-1');
  expect(access.mayPublish('gateway', mapped)).toBe(true);
  expect(
    ['gateway/port-2', 'airlines/hall-2/gun-01', 'airlines/hall-2/gateway'].map((topic) => publish('gateway', topic)),
  ).toEqual([false, false, false]);
  signIn('gun-01', addStation(book, { name: 'gun-03', kind: 'station' }, null, ACTOR).secret);
  expect(access.mayPublish('gun-01', mapped)).toBe(false);
});

test('a root of several levels is kept to', () => {
  const { signIn, secrets, access, publish } = hall('works/air');
  signIn('gun-01', secrets.gun);
  signIn('andon', secrets.andon);
  expect(publish('gun-01', 'works/air/hall-2/gun-01')).toBe(true);
  expect(access.maySubscribe('andon', 'works/air/hall-2/+/condition')).toBe(true);
  expect(access.maySubscribe('andon', 'works/+/hall-2/gun-01/condition')).toBe(false);
});

test('while no accounts are set up everybody may do everything; from then on who came before may do nothing', () => {
  const { signIn, publish, access, open } = hall();
  expect(publish('', 'airlines/hall-2/gun-01')).toBe(false);
  expect(access.maySubscribe('', '#')).toBe(false);
  open();
  expect(signIn(null, null)).toEqual({ ok: true, account: '' });
  expect(publish('', 'airlines/hall-2/gun-01')).toBe(true);
  expect(access.maySubscribe('', '#')).toBe(true);
});
