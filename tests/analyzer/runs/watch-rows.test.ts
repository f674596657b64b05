import fc from 'fast-check';
import { expect, test } from 'vitest';
import { FLOW, PRESSURE } from '../../../analyzer/runs/pull-channels.ts';
import { startStreaks, WATCHED } from '../../../analyzer/runs/streaks.ts';
import { type WatchedRows, watchRows } from '../../../analyzer/runs/watch-rows.ts';
import type { StationFact } from '../../../analyzer/site.ts';

const START = Date.UTC(2026, 0, 5, 5);

/** One row of a few channels: 0 for none, and little else, so that values repeat. */
const row = fc.record({
  values: fc.array(fc.constantFrom(Number.NaN, 0, 0.25, 0.3, 2), {
    minLength: WATCHED.length,
    maxLength: WATCHED.length,
  }),
  spraying: fc.boolean(),
});

function rowsOf(made: readonly { values: readonly number[]; spraying: boolean }[]): WatchedRows {
  let switched = 0;
  return {
    times: Float64Array.from(made, (_, index) => START + index * 1000),
    columns: WATCHED.map((_, place) =>
      made.every(({ values }) => Number.isNaN(values[place]))
        ? null
        : Float64Array.from(made, ({ values }) => values[place]!),
    ),
    spraying: Uint8Array.from(made, ({ spraying }) => Number(spraying)),
    switches: Float64Array.from(made, ({ spraying }, index) => {
      if (index > 0 && made[index - 1]!.spraying !== spraying) switched++;
      return switched;
    }),
  };
}

const stuck = (): StationFact => ({
  kind: 'stuck',
  station: 'gun-01',
  channel: 'conveying/flow',
  time: 0,
  noticed: 0,
  until: null,
});

test('rows taken in together give the streaks that they give one by one', () => {
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 40 }), fc.boolean(), (made, open) => {
      const rows = rowsOf(made);
      const [together, oneByOne] = [startStreaks(), startStreaks()];
      const facts: [StationFact[], StationFact[]] = [[stuck()], [stuck()]];
      if (open) for (const streaks of [together, oneByOne]) streaks.fact[FLOW] = 0;
      const readings = watchRows(together, rows, 0, made.length, facts[0]);
      let sum = 0;
      for (let index = 0; index < made.length; index++) sum += watchRows(oneByOne, rows, index, index + 1, facts[1]);
      expect(together).toEqual(oneByOne);
      expect(facts[0]).toEqual(facts[1]);
      expect(readings).toBe(sum);
      expect(readings).toBe(
        made.reduce((count, { values }) => count + values.filter((value) => !Number.isNaN(value)).length, 0),
      );
    }),
  );
});

test('a streak begins with what there was at its last change', () => {
  const streaks = startStreaks();
  const none = Number.NaN;
  const made = [
    [1, 0.5],
    [2, 0.6],
    [2, 0.7],
    [none, 0.7],
  ].map(([flow, pressure], index) => ({
    values: WATCHED.map((_, place) => (place === FLOW ? flow! : place === PRESSURE ? pressure! : none)),
    spraying: index > 1,
  }));
  expect(watchRows(streaks, rowsOf(made), 0, 4, [])).toBe(7);
  // Flow last changed in the second row, before the pressure of that row was read.
  expect(streaks).toMatchObject({ allChanges: 5, pressed: 3, pressedAt: 1 });
  expect([streaks.since[FLOW], streaks.changesAt[FLOW], streaks.partnerAt[FLOW]]).toEqual([START + 1000, 3, 1]);
  expect([streaks.since[PRESSURE], streaks.changesAt[PRESSURE], streaks.partnerAt[PRESSURE]]).toEqual([
    START + 2000,
    5,
    2,
  ]);
  expect([streaks.switchesAt[FLOW], streaks.switchesAt[PRESSURE]]).toEqual([0, 1]);
  expect([streaks.idle[FLOW], streaks.spraying[FLOW], streaks.idle[PRESSURE], streaks.spraying[PRESSURE]]).toEqual([
    1, 1, 0, 2,
  ]);
});
