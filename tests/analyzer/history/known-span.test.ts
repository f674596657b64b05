import { expect, test } from 'vitest';
import { knownSpan } from '../../../analyzer/index.ts';

type Span = { readonly from: number; readonly to: number } | null;

const kept = (read: Span, run: Span): Parameters<typeof knownSpan>[0] => ({
  readings: {
    stations: () => (read === null ? [] : [{ station: 'gun-01', firstTime: read.from, lastTime: read.to }]),
  },
  runs: { span: (gun) => (gun === 'gun-01' ? run : null) },
});

test.each<[string, Span, Span, Span]>([
  ['readings alone', { from: 10, to: 20 }, null, { from: 10, to: 20 }],
  ['runs alone', null, { from: 1, to: 5 }, { from: 1, to: 5 }],
  ['runs that outlast their readings', { from: 10, to: 20 }, { from: 1, to: 19 }, { from: 1, to: 20 }],
  [
    'readings of before the first run and behind the last',
    { from: 1, to: 30 },
    { from: 2, to: 29 },
    { from: 1, to: 30 },
  ],
  ['nothing', null, null, null],
])('of a gun with %s the earliest and the newest of both are known', (_, read, run, expected) => {
  expect(knownSpan(kept(read, run), 'gun-01')).toEqual(expected);
});
