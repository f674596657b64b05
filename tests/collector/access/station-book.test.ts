import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { AccountWatch } from '../../../collector/access/account-watch.ts';
import { secretHash } from '../../../collector/access/secrets.ts';
import { addStation, revokeStation, rotateStation } from '../../../collector/index.ts';
import { openBook } from './open-book.ts';

const ACTOR = { who: 'anna', origin: '192.0.2.7', now: Date.UTC(2026, 4, 4, 8) };
const STATIONS = ['gun-01', 'gun-02', 'dryer-out'];
const GUN = { name: 'gun-01', kind: 'station' } as const;

test('a secret has 256 random bits and is kept as its SHA-256 only', () => {
  const book = openBook();
  const { secret } = addStation(book, GUN, STATIONS, ACTOR);
  expect(Buffer.from(secret, 'base64url')).toHaveLength(32);
  expect(Buffer.from(book.store.access.stations.secretOf('gun-01') ?? [])).toEqual(
    createHash('sha256').update(secret).digest(),
  );
  book.store.close();
  for (const file of ['driftline.db', 'driftline.db-wal'].map((name) => join(book.dir, name)))
    expect(read(file).includes(secret)).toBe(false);
});

const read = (file: string): Buffer => {
  try {
    return readFileSync(file);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return Buffer.alloc(0);
    throw error;
  }
};

test('two accounts never get the same secret', () => {
  const book = openBook();
  const { secret } = addStation(book, GUN, STATIONS, ACTOR);
  expect(addStation(book, { ...GUN, name: 'gun-02' }, STATIONS, ACTOR).secret).not.toBe(secret);
  expect(rotateStation(book, 'gun-01', ACTOR).secret).not.toBe(secret);
});

test.each([
  [{ ...GUN, name: 'gun-99' }, 'name: found "gun-99", expected a station: gun-01, gun-02, dryer-out'],
  [{ ...GUN, name: 'Gun 1' }, 'name: found "Gun 1", expected 1 to 40 of a-z, 0-9 and "-"'],
  [{ ...GUN, name: '' }, 'name: found "", expected 1 to 40 of a-z, 0-9 and "-"'],
  [{ ...GUN, name: 'a'.repeat(41) }, 'expected 1 to 40'],
  [{ name: 'gun-02', kind: 'reader' } as const, 'which is a station; name the reader otherwise'],
])('%j gets no account', (wanted, message) => {
  const book = openBook();
  expect(() => addStation(book, wanted, STATIONS, ACTOR)).toThrow(message);
  expect(book.store.audit.lastId()).toBe(0);
});

test('a name has one account, also after it was revoked, and only who says so brings it back', () => {
  const book = openBook();
  addStation(book, GUN, STATIONS, ACTOR);
  expect(() => addStation(book, GUN, STATIONS, ACTOR)).toThrow(
    'has an account already; "rotate" gives it a new secret',
  );
  expect(revokeStation(book.store, 'gun-01', ACTOR).revokedAt).toBe(ACTOR.now);
  expect(() => addStation(book, GUN, STATIONS, ACTOR)).toThrow('which was revoked');
  // A new secret for all must not let in what was taken away.
  expect(() => rotateStation(book, 'gun-01', ACTOR)).toThrow(
    /^name: "gun-01" was revoked at .*Z and gets no new secret; "station rotate gun-01 --bring-back", or /,
  );
  expect(book.store.access.stations.secretOf('gun-01')).toBeNull();
  expect(book.store.audit.list()[0]?.what).toBe('station revoked');
  expect(rotateStation(book, 'gun-01', ACTOR, true).account.revokedAt).toBeNull();
  expect(book.store.audit.list()[0]?.what).toBe('station brought back');
  expect(() => rotateStation(book, 'gun-02', ACTOR)).toThrow('no station account is named "gun-02"');
});

test('every change is in the audit trail, without the secret', () => {
  const book = openBook();
  const secrets = [addStation(book, GUN, STATIONS, ACTOR).secret, rotateStation(book, 'gun-01', ACTOR).secret];
  revokeStation(book.store, 'gun-01', ACTOR);
  revokeStation(book.store, 'gun-01', ACTOR);
  const entries = book.store.audit.list();
  expect(entries.map(({ what, detail, who, origin }) => [what, detail, who, origin])).toEqual([
    ['station revoked', 'gun-01', 'anna', '192.0.2.7'],
    ['station secret changed', 'gun-01', 'anna', '192.0.2.7'],
    ['station added', 'gun-01 (station)', 'anna', '192.0.2.7'],
  ]);
  for (const secret of secrets) expect(JSON.stringify(entries)).not.toContain(secret);
});

test('a watch names the accounts whose secret ended, and nothing while nothing changed', () => {
  const book = openBook();
  addStation(book, GUN, STATIONS, ACTOR);
  const watch = new AccountWatch(book.store.audit, book.store.access.stations);
  expect(watch.look()).toBeNull();
  addStation(book, { ...GUN, name: 'gun-02' }, STATIONS, ACTOR);
  expect(watch.look()).toEqual([]);
  rotateStation(book, 'gun-01', ACTOR);
  revokeStation(book.store, 'gun-02', ACTOR);
  expect(watch.look()).toEqual(['gun-01', 'gun-02']);
  expect(watch.look()).toBeNull();
});

test('a watch names an account too that was set up, came in and lost its secret between two looks', () => {
  const book = openBook();
  const watch = new AccountWatch(book.store.audit, book.store.access.stations);
  for (const name of ['gun-01', 'gun-02', 'gun-03'])
    watch.cameIn(name, secretHash(addStation(book, { ...GUN, name }, null, ACTOR).secret));
  const { secret } = rotateStation(book, 'gun-01', ACTOR);
  // Connected again with the new one, while the connection of the old one is still there.
  watch.cameIn('gun-01', secretHash(secret));
  revokeStation(book.store, 'gun-02', ACTOR);
  expect(watch.look()).toEqual(['gun-01', 'gun-02']);
  expect(watch.look()).toBeNull();
});
