import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openStore, type Store } from '../../../collector/index.ts';

const NOW = Date.UTC(2026, 4, 4, 8);
const DAY = 86_400_000;
const hash = (text: string): Uint8Array => Buffer.from(text.padEnd(32, '.'));

let dir: string;
let store: Store;

beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'driftline-access-'));
  store = openStore(dir, { create: true });
});

afterEach(() => {
  store.close();
  rmSync(dir, { recursive: true, force: true });
});

const anna = () => store.access.people.add({ name: 'Anna', role: 'fitter', password: null, createdAt: NOW });

test('a fresh store has no accounts, and has some from the first person, token or station on', () => {
  expect(store.access.any()).toBe(false);
  store.access.stations.add({ name: 'gun-01', kind: 'station', hash: hash('a'), createdAt: NOW });
  expect(store.access.any()).toBe(true);
});

test('a person is found whatever the capitals, and a name is given once', () => {
  const person = anna();
  expect(store.access.people.byName('ANNA')).toEqual(person);
  expect(() => store.access.people.add({ name: 'anna', role: 'wall', password: null, createdAt: NOW })).toThrow();
});

test('a link to choose a password holds until its end or until it is dropped', () => {
  const { people } = store.access;
  const person = anna();
  people.addLink(person.id, hash('first'), NOW + DAY);
  expect(people.personOfLink(hash('first'), NOW)?.name).toBe('Anna');
  people.dropLinks(person.id);
  people.addLink(person.id, hash('second'), NOW + DAY);
  expect(people.personOfLink(hash('first'), NOW)).toBeNull();
  expect(people.personOfLink(hash('second'), NOW + DAY - 1)?.name).toBe('Anna');
  expect(people.personOfLink(hash('second'), NOW + DAY)).toBeNull();
});

test('a session holds until it expires or is ended, each for itself', () => {
  const { sessions } = store.access;
  const session = { person: 1, createdAt: NOW, expiresAt: NOW + DAY, address: '192.0.2.7', agent: 'phone' };
  const first = sessions.add(hash('first'), session, 20);
  const second = sessions.add(hash('second'), session, 20);
  expect(sessions.find(hash('first'), NOW + DAY - 1)).toEqual(first);
  expect(sessions.find(hash('first'), NOW + DAY)).toBeNull();
  expect(sessions.end(1, NOW + 1, { except: second.id })).toBe(1);
  expect(sessions.find(hash('first'), NOW + 2)).toBeNull();
  expect(sessions.list(NOW + 2, 1).map(({ id }) => id)).toEqual([second.id]);
  expect(sessions.cameFrom(1, '192.0.2.7')).toBe(true);
  expect(sessions.cameFrom(1, '192.0.2.8')).toBe(false);
});

test('one session more than a person may have ends the oldest that holds, and nobody else’s', () => {
  const { sessions } = store.access;
  const open = (name: string, person: number, createdAt: number) =>
    sessions.add(hash(name), { person, createdAt, expiresAt: createdAt + DAY, address: '', agent: '' }, 2);
  open('expired', 1, NOW - 2 * DAY);
  const other = open('other', 2, NOW);
  const [, second, third] = ['first', 'second', 'third'].map((name, index) => open(name, 1, NOW + index));
  expect(sessions.find(hash('first'), NOW + 3)).toBeNull();
  expect(sessions.list(NOW + 3).map(({ id }) => id)).toEqual([third!.id, second!.id, other.id]);
});

test('what is revoked is found no more but stays listed', () => {
  const { tokens, stations } = store.access;
  const token = tokens.add(hash('t'), { kind: 'wall', name: 'Hall screen', role: 'wall', createdAt: NOW });
  tokens.revoke(token.id, NOW + 1);
  expect(tokens.find(hash('t'))).toBeNull();
  expect(tokens.list()).toEqual([{ ...token, revokedAt: NOW + 1 }]);
  const account = stations.add({ name: 'gun-01', kind: 'station', hash: hash('s'), createdAt: NOW });
  stations.revoke(account.id, NOW + 1);
  expect(stations.secretOf('gun-01')).toBeNull();
  stations.setSecret(account.id, hash('new'), NOW + 2);
  expect(Buffer.from(stations.secretOf('gun-01') ?? [])).toEqual(Buffer.from(hash('new')));
  expect(stations.byName('gun-01')).toMatchObject({ rotatedAt: NOW + 2, revokedAt: null });
});

test('the audit trail is only added to, also by whoever opens the file with another program', () => {
  store.audit.add({ at: NOW, who: 'anna', what: 'first', detail: '', origin: '192.0.2.7' });
  store.audit.add({ at: NOW, who: 'boris', what: 'second', detail: '', origin: 'command line' });
  expect(store.audit.list().map(({ what }) => what)).toEqual(['second', 'first']);
  expect(store.audit.list({ who: 'anna' })).toHaveLength(1);
  const { lastId } = { lastId: store.audit.lastId() };
  expect(store.audit.list({ beforeId: lastId })).toHaveLength(1);
  const outside = new Database(join(dir, 'driftline.db'));
  try {
    expect(() => outside.exec("UPDATE audit SET who = 'nobody'")).toThrow('only added to');
    expect(() => outside.exec('DELETE FROM audit')).toThrow('only added to');
  } finally {
    outside.close();
  }
  expect(store.audit.list()).toHaveLength(2);
});
