import fc from 'fast-check';
import { expect, test } from 'vitest';
import { reachedAt, renewUsage, sprayedBetween, usageFrom } from '../../../analyzer/upkeep/usage.ts';

const RUN = fc.record({
  gap: fc.integer({ min: 1, max: 5 }),
  seconds: fc.integer({ min: 1, max: 60 }),
  // Whole grams, so that sums in either order are the same.
  kilograms: fc.option(fc.integer({ min: 0, max: 500 }), { nil: Number.NaN }),
});
const RUNS = fc.array(RUN, { maxLength: 30 });

interface Run {
  readonly start: number;
  readonly seconds: number;
  readonly kilograms: number;
}

/** Runs one after the other from a time on. */
function placed(runs: readonly { gap: number; seconds: number; kilograms: number }[], from = 0): Run[] {
  let start = from;
  return runs.map(({ gap, seconds, kilograms }) => {
    start += gap;
    return { start, seconds, kilograms };
  });
}

const usage = (runs: readonly Run[]) =>
  usageFrom(
    'gun-01',
    runs.map(({ start }) => start),
    runs.map(({ seconds }) => seconds),
    runs.map(({ kilograms }) => kilograms),
  );

test('what was sprayed in a span is what its runs add up to', () => {
  fc.assert(
    fc.property(RUNS, fc.nat(100), fc.nat(100), (made, from, to) => {
      const runs = placed(made);
      const meant = runs.filter(({ start }) => start >= from && start < to);
      const sum = (of: (run: Run) => number): number => meant.reduce((total, run) => total + of(run), 0);
      const seconds = sum((run) => run.seconds);
      const known = sum((run) => (Number.isNaN(run.kilograms) ? 0 : run.seconds));
      const told = sprayedBetween(usage(runs), from, to);
      expect(told.sprayHours).toBe(seconds / 3600);
      expect(told.outputKnown).toBeCloseTo(seconds === 0 ? 1 : known / seconds, 12);
      const kilograms = sum((run) => (Number.isNaN(run.kilograms) ? 0 : run.kilograms));
      // Below half the powder is not told, see LEAST_KNOWN; in between the unknown part is filled in at the known rate.
      if (known * 2 < seconds) expect(told.kilograms).toBeNull();
      else expect(told.kilograms).toBeCloseTo(seconds === 0 ? 0 : (kilograms * seconds) / known, 6);
    }),
  );
});

test('an amount is reached in the run that brings the sum up to it', () => {
  fc.assert(
    fc.property(RUNS, fc.nat(100), fc.nat(2000), (made, from, amount) => {
      const runs = placed(made);
      let sum = 0;
      const expected = runs
        .filter(({ start }) => start >= from)
        .find(({ kilograms }) => {
          sum += Number.isNaN(kilograms) ? 0 : kilograms;
          return sum >= amount;
        });
      expect(reachedAt(usage(runs), from, amount, 'kilograms')).toBe(expected?.start ?? null);
    }),
  );
  const half = usageFrom('gun-01', [0, 1, 2], [1800, 1800, 1800], [1, 1, 1]);
  expect(reachedAt(half, 0, 1, 'sprayHours')).toBe(1);
  expect(reachedAt(half, 0, 1.51, 'sprayHours')).toBeNull();
});

test('newer runs take the place of those from their time on', () => {
  fc.assert(
    fc.property(RUNS, RUNS, fc.nat(100), (old, newer, from) => {
      const [before, after] = [placed(old), placed(newer, from)];
      const renewed = renewUsage(usage(before), from + 1, usage(after));
      expect(renewed).toEqual(usage([...before.filter(({ start }) => start <= from), ...after]));
    }),
  );
});
