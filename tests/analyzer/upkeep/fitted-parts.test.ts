import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decidedBefore, fittedParts } from '../../../analyzer/upkeep/fitted-parts.ts';
import { makeLoop } from '../../../analyzer/upkeep/make-loop.ts';
import { DAY, entry, finding, HOUR, NOW, nothingSprayed, records, sprayedDays } from './hall-of-one.ts';

const partsAt = (changes: Parameters<typeof records>[0], gun = 0) => makeLoop(records(changes)).guns[gun]!.parts;
const insertAt = (changes: Parameters<typeof records>[0]) =>
  partsAt(changes).find(({ part }) => part === 'pump-insert')!;

test('hours and kilograms since a part was fitted are those of the spray runs since', () => {
  const fitted = NOW - 4 * DAY;
  const insert = insertAt({ usage: () => sprayedDays(20), log: [entry(fitted)] });
  // Runs of half an hour: one that begins at that minute on Thursday, six on Friday, five on Monday by noon.
  expect(insert.sinceFitted).toEqual({ sprayHours: 6, kilograms: 54, outputKnown: 1 });
  expect(insert).toMatchObject({ fittedSince: fitted, days: 4 });
});

test('days of a shut-down wear no insert', () => {
  const before = sprayedDays(30, 'gun-01', NOW - 20 * DAY);
  const log = [entry(NOW - 45 * DAY)];
  const then = insertAt({ usage: () => before, log, now: NOW - 20 * DAY });
  const now = insertAt({ usage: () => before, log });
  expect(now.sinceFitted).toEqual(then.sinceFitted);
  expect(now.expected?.sprayHours).toEqual(then.expected?.sprayHours);
  expect(now.days).toBe(then.days! + 20);
});

test('what was never changed counts from the first spray run, and says so', () => {
  const usage = sprayedDays(10);
  const insert = insertAt({ usage: () => usage });
  expect(insert).toMatchObject({ fittedSince: null, countedFrom: usage.starts[0] });
  expect(insertAt({ usage: nothingSprayed })).toMatchObject({ countedFrom: null, days: null });
});

test('what was fitted before the first spray run counts hours from there, and days from its fitting', () => {
  const usage = sprayedDays(10);
  const fitted = NOW - 60 * DAY;
  const insert = insertAt({ usage: () => usage, log: [entry(fitted)] });
  expect(insert).toMatchObject({ fittedSince: fitted, countedFrom: usage.starts[0], days: 60 });
  // Fitted on the morning of the first run: nothing was sprayed unseen.
  const morning = usage.starts[0]! - 2 * HOUR;
  expect(insertAt({ usage: () => usage, log: [entry(morning)] })).toMatchObject({ countedFrom: morning });
});

test('expected remaining is the air’s, else of life statistics, else of the interval', () => {
  const air = { p10: 5, p50: 9, p90: 14 };
  const life = { p10: 20, p50: 31, p90: 40 };
  const usage = () => sprayedDays(20);
  const open = finding(NOW - DAY, { cause: 'pump-insert', remaining: { sprayHours: air } });
  expect(insertAt({ usage, findings: [open], life: () => ({ left: life, of: 'all' }) }).expected).toMatchObject({
    from: 'air',
    sprayHours: air,
  });
  const lived = insertAt({ usage, life: () => ({ left: life, of: 'gun' }) }).expected;
  expect(lived).toMatchObject({ from: 'life', sprayHours: life, livesOf: 'gun' });
  const log = [entry(NOW - 4 * DAY)];
  expect(insertAt({ usage, log }).expected).toMatchObject({
    from: 'interval',
    sprayHours: { p10: null, p50: 60 - 6, p90: null },
  });
});

test('a gun has the parts that the plant file names, else all', () => {
  expect(partsAt({}, 0)).toHaveLength(11);
  expect(partsAt({}, 1).map(({ part }) => part)).toEqual(['pump-insert', 'nozzle']);
});

test('a check that found the part good starts its interval anew; one that found it worn asks for a change at once', () => {
  const usage = () => sprayedDays(100);
  const look = (found: 'good' | 'worn') =>
    makeLoop(records({ usage, log: [entry(NOW - 3 * HOUR, { part: 'nozzle', action: 'inspected', found })] })).guns[0]!;
  const nozzle = look('good').parts.find(({ part }) => part === 'nozzle')!;
  expect(nozzle.sinceCare.sprayHours).toBeLessThan(2);
  expect(nozzle.sinceFitted.sprayHours).toBeGreaterThan(100);
  expect(look('worn').due.find(({ part }) => part === 'nozzle')).toMatchObject({
    work: 'change',
    by: 'found',
    due: NOW - 3 * HOUR,
  });
});

test('how a part stood before each entry is decided by no more than four of the entries before it, whatever a log holds', () => {
  const one = fc.record({
    gap: fc.constantFrom(0, HOUR, 3 * DAY),
    action: fc.constantFrom('replaced' as const, 'inspected' as const, 'cleaned' as const, 'refitted' as const),
    found: fc.constantFrom('good' as const, 'worn' as const, null),
  });
  fc.assert(
    fc.property(
      fc.array(one, { maxLength: 25 }),
      fc.constantFrom('pump-insert' as const, 'powder-hose' as const),
      (steps, part) => {
        let time = NOW - 100 * DAY;
        const log = steps.map(({ gap, action, found }) => {
          time += gap;
          return entry(time, { part, action, found });
        });
        const stood = (of: readonly ReturnType<typeof entry>[], then: number) =>
          fittedParts(
            {
              ...{ gun: 'gun-01', parts: [part], usage: sprayedDays(90), log: of },
              air: () => null,
              life: () => null,
              set: () => null,
            },
            'Europe/Vienna',
            then,
          );
        const before = decidedBefore(log);
        for (const [index, { time: done }] of log.entries()) {
          expect(before[index]!.length).toBeLessThanOrEqual(4);
          expect(stood(before[index]!, done - 1)).toEqual(stood(log, done - 1));
        }
      },
    ),
    { numRuns: 30 },
  );
});
