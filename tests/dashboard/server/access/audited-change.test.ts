import { afterEach, beforeEach, expect, test } from 'vitest';
import { openStore, type Store } from '../../../../collector/index.ts';
import { AuditedChange } from '../../../../dashboard/server/access/audited-change.ts';
import { tempDir } from '../../../collector/store/temp-dir.ts';

let store: Store;
beforeEach(() => {
  store = openStore(tempDir(), { create: true });
});
afterEach(() => store.close());

const entry = { at: 1, who: 'Anna', what: 'PUT /api/x', detail: '', origin: '127.0.0.1' };
const put = (): string => {
  store.states.put('x', Uint8Array.of(1));
  return 'made';
};

test('a change and its entry are both there', () => {
  const change = new AuditedChange(store, () => store.audit.add(entry));
  expect(change.make(put)).toBe('made');
  change.noted();
  expect(store.audit.list()).toHaveLength(1);
  expect(store.states.get('x')).not.toBeNull();
});

test('without the entry there is no change', () => {
  const change = new AuditedChange(store, () => {
    throw new Error('the disk is full');
  });
  expect(() => change.make(put)).toThrow('the disk is full');
  expect(store.states.get('x')).toBeNull();
});

test('of a change that fails neither is kept', () => {
  const change = new AuditedChange(store, () => store.audit.add(entry));
  expect(() =>
    change.make(() => {
      put();
      throw new RangeError('no such gun');
    }),
  ).toThrow('no such gun');
  expect([store.states.get('x'), store.audit.list()]).toEqual([null, []]);
});

test('what changes nothing is not written down', () => {
  const change = new AuditedChange(store, () => store.audit.add(entry));
  change.make(put, () => false);
  expect(store.audit.list()).toEqual([]);
});
