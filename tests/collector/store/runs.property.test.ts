import fc from 'fast-check';
import { expect, test } from 'vitest';
import { RUN_FIELDS, type RunTable } from '../../../collector/contract/runs.ts';
import { openStore } from '../../../collector/index.ts';
import { runColumns } from '../../../collector/store/run-table.ts';
import { randomFrom } from './model.ts';
import { tempDir } from './temp-dir.ts';

interface Run {
  readonly start: number;
  readonly powder: string | null;
  readonly values: readonly number[];
}

function makeRuns(from: number, count: number, random: () => number): Run[] {
  let start = from;
  return Array.from({ length: count }, () => {
    start += 1 + Math.floor(random() * 90_000);
    const values = RUN_FIELDS.map((_, field) => {
      const kind = field % 4;
      const value = (random() - 0.3) * 300;
      return kind === 0 ? Number.NaN : kind === 1 ? Math.round(value) + 0 : kind === 2 ? Math.fround(value) : value;
    });
    return { start, powder: random() < 0.2 ? null : `p-${Math.floor(random() * 3)}`, values };
  });
}

function toTable(gun: string, runs: readonly Run[]): RunTable {
  const columns = runColumns(runs.length);
  const powders = ['p-unused', 'p-2', 'p-1', 'p-0'];
  for (const [row, run] of runs.entries()) {
    for (const [field, name] of RUN_FIELDS.entries()) columns[name][row] = run.values[field]!;
    columns.start[row] = run.start;
    columns.powder[row] = run.powder === null ? -1 : powders.indexOf(run.powder);
  }
  return { gun, length: runs.length, columns, powders };
}

function fromTable(table: RunTable): Run[] {
  return Array.from({ length: table.length }, (_, row) => {
    const powder = table.powders[table.columns.powder[row]!] ?? null;
    const values = RUN_FIELDS.map((field) => table.columns[field][row]!);
    return { start: table.columns.start[row]!, powder, values };
  });
}

/** Start and powder stand for themselves. */
function plain(runs: readonly Run[]): unknown[] {
  return runs.map(({ start, powder, values }) => [start, powder, values.filter((_, i) => i !== 0 && i !== 4)]);
}

test('runs come back bit for bit however they were appended and replaced, also after reopening', () => {
  const step = fc.record({
    count: fc.constantFrom(1, 2, 40, 130, 700, 1500),
    back: fc.constantFrom(0, 0, 0, 1, 50, 2000),
  });
  fc.assert(
    fc.property(fc.array(step, { minLength: 1, maxLength: 12 }), fc.integer({ min: 1, max: 1e6 }), (steps, seed) => {
      const dir = tempDir();
      const random = randomFrom(seed);
      let kept: Run[] = [];
      let store = openStore(dir, { create: true });
      for (const { count, back } of steps) {
        const at = kept.length - back;
        const from = at >= kept.length ? (kept.at(-1)?.start ?? 1e12) + 1 : (kept[Math.max(0, at)]?.start ?? 1e12);
        const added = makeRuns(from, count, random);
        kept = [...kept.filter(({ start }) => start < from), ...added];
        store.runs.replace('gun-01', from, toTable('gun-01', added));
      }
      const other = makeRuns(1e12, 3, random);
      store.runs.replace('gun-02', 0, toTable('gun-02', other));
      store.close();
      store = openStore(dir);
      expect(plain(fromTable(store.runs.load('gun-01')))).toEqual(plain(kept));
      const [from, to] = [kept[kept.length >> 2]!.start, kept[kept.length >> 1]!.start];
      expect(plain(fromTable(store.runs.load('gun-01', from, to)))).toEqual(
        plain(kept.filter(({ start }) => start >= from && start < to)),
      );
      expect(plain(fromTable(store.runs.load('gun-02')))).toEqual(plain(other));
      expect(store.runs.guns()).toEqual(['gun-01', 'gun-02']);
      const { start, values } = kept.at(-1)!;
      const ended = values[RUN_FIELDS.indexOf('end')]!;
      expect(store.runs.span('gun-01')).toEqual({
        from: kept[0]!.start,
        to: Number.isNaN(ended) ? start : Math.max(start, ended),
      });
      expect(store.runs.span('gun-03')).toBeNull();
      store.close();
    }),
    { numRuns: 15 },
  );
}, 60_000);

test('an empty table takes away the runs from a time on, and a gun without runs has an empty table', () => {
  const store = openStore(tempDir(), { create: true });
  const runs = makeRuns(1e12, 10, randomFrom(7));
  store.runs.replace('gun-01', 0, toTable('gun-01', runs));
  store.runs.replace('gun-01', runs[4]!.start, toTable('gun-01', []));
  expect(store.runs.load('gun-01').length).toBe(4);
  expect(store.runs.load('gun-09')).toMatchObject({ gun: 'gun-09', length: 0, powders: [] });
  store.close();
});

test('runs out of order or before the time given are refused and nothing is changed', () => {
  const store = openStore(tempDir(), { create: true });
  const runs = makeRuns(1e12, 3, randomFrom(9));
  store.runs.replace('gun-01', 0, toTable('gun-01', runs));
  const late = runs[1]!.start;
  expect(() => store.runs.replace('gun-01', late, toTable('gun-01', runs))).toThrow(
    /runs of gun-01: start .* of run 0/,
  );
  expect(() => store.runs.replace('gun-01', 0, toTable('gun-01', [runs[1]!, runs[0]!]))).toThrow(RangeError);
  expect(store.runs.load('gun-01').length).toBe(3);
  store.close();
});

test('fields that are not asked for say that nothing was measured, and the others are as they are', () => {
  const store = openStore(tempDir(), { create: true });
  const runs = makeRuns(1e12, 1500, randomFrom(7));
  store.runs.replace('gun-01', 0, toTable('gun-01', runs));
  const whole = store.runs.load('gun-01');
  const asked = ['start', 'powder', ...RUN_FIELDS.filter((_, place) => place % 3 === 2)] as const;
  const some = store.runs.load('gun-01', whole.columns.start[3], whole.columns.start[1400], [...new Set(asked)]);
  expect(some.length).toBe(1397);
  for (const field of RUN_FIELDS)
    expect(some.columns[field]).toEqual(
      asked.includes(field) ? whole.columns[field].subarray(3, 1400) : new Float64Array(1397).fill(Number.NaN),
    );
  expect(some.powders).toEqual(whole.powders);
  store.close();
});
