import { expect, test } from 'vitest';
import { FindingsKeeper } from '../../../analyzer/live/findings-keeper.ts';
import type { Finding } from '../../../collector/contract/index.ts';
import type { Findings, Journal } from '../../../collector/index.ts';

/** As far as a keeper looks at it. */
const finding = (asOf: string, confidence: number): Finding =>
  ({ gun: 'gun-01', cause: 'insert', raised: '2026-03-01T08:00:00.000Z', asOf, confidence }) as unknown as Finding;

/** What was written, in order. */
function memory() {
  const written: string[] = [];
  const findings = {
    list: () => [],
    save: (saved: readonly Finding[], _: number, revised: boolean) =>
      written.push(`save ${saved.map(({ asOf }) => asOf)}${revised ? ' revised' : ''}`),
    withdraw: (keys: readonly object[]) => written.push(`withdraw ${keys.length}`),
  } as unknown as Findings;
  const journal = {
    append: (due: readonly Finding[]) => written.push(`append ${due.length}`),
    revise: (gun: string | null) => written.push(`revise ${gun}`),
  } as unknown as Journal;
  return { store: { findings, journal }, written };
}

const ONE = '2026-03-01T09:00:00.000Z';
const NEVER = Number.POSITIVE_INFINITY;

test('nothing is to be written where no finding has changed, so no transaction need be opened', () => {
  const { store, written } = memory();
  const keeper = new FindingsKeeper();
  expect(keeper.changes([], NEVER, 1)).toBeNull();
  keeper.changes([finding(ONE, 0.5)], NEVER, 1)!(store);
  expect(keeper.changes([finding(ONE, 0.5)], NEVER, 2)).toBeNull();
  expect(written).toEqual([`save ${ONE}`]);
});

test('what has changed, is due for the journal or has gone is written', () => {
  const { store, written } = memory();
  const keeper = new FindingsKeeper();
  keeper.tell([finding(ONE, 0.5)]);
  keeper.changes([finding(ONE, 0.5)], NEVER, 1)!(store);
  keeper.changes([finding(ONE, 0.7)], 5, 2)!(store);
  keeper.changes([], NEVER, 3)!(store);
  expect(written).toEqual([`save ${ONE}`, 'append 1', `save ${ONE} revised`, 'revise gun-01', 'withdraw 1']);
  expect(keeper.changes([], NEVER, 4)).toBeNull();
});
