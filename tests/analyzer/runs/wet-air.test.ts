import { describe, expect, it } from 'vitest';
import type { StationFact } from '../../../analyzer/index.ts';
import { startDewPoint, watchDewPoint } from '../../../analyzer/runs/wet-air.ts';

const START = Date.UTC(2026, 2, 2, 6);
const MINUTE = 60_000;

/** Facts of a dryer that is read every minute: `dewAt` by minute. */
function factsOf(minutes: number, dewAt: (minute: number) => number): StationFact[] {
  const facts: StationFact[] = [];
  const dew = startDewPoint();
  for (let minute = 0; minute < minutes; minute++)
    watchDewPoint(dew, 'dryer-1', START + minute * MINUTE, dewAt(minute), facts);
  return facts;
}

const DAY = 480;

describe('a dew point', () => {
  it('that rises by 14 K over 20 minutes is wet air within the hour, from when it was high', () => {
    const facts = factsOf(2 * DAY, (minute) => 3 + 14 * Math.min(1, Math.max(0, (minute - DAY) / 20)));
    expect(facts).toHaveLength(1);
    const [fact] = facts as (StationFact & { kind: 'wet-air' })[];
    expect(fact).toMatchObject({ kind: 'wet-air', station: 'dryer-1', until: null });
    expect(fact!.time).toBeGreaterThan(START + DAY * MINUTE);
    expect(fact!.noticed - START).toBeLessThan((DAY + 60) * MINUTE);
    expect(fact!.usualCel).toBeCloseTo(3, 0);
  });

  it('that falls back ends it', () => {
    const facts = factsOf(3 * DAY, (minute) => (minute >= DAY && minute < 2 * DAY ? 17 : 3));
    expect(facts).toHaveLength(1);
    const [{ until }] = facts as [StationFact & { kind: 'wet-air' }];
    expect(until! - START).toBeGreaterThan(2 * DAY * MINUTE);
    expect(until! - START).toBeLessThan((2 * DAY + 60) * MINUTE);
  });

  it.each([
    ['swings by 4 K each day', (minute: number) => 3 + 4 * Math.sin(minute / 76)],
    ['follows the season by half a kelvin a day', (minute: number) => 3 + (0.5 * minute) / DAY],
    ['peaks for ten minutes while a filter is drained', (minute: number) => (minute % DAY < 10 ? 16 : 3)],
    ['of a desiccant dryer rises from -45 to -30 Cel', (minute: number) => (minute > 5 * DAY ? -30 : -45)],
    ['has been high from the first reading on', () => 14],
  ])('that %s is none', (_, dewAt) => {
    expect(factsOf(20 * DAY, dewAt)).toEqual([]);
  });

  it('that stays where it went becomes the usual within two months of work', () => {
    const [fact] = factsOf(45 * DAY, (minute) => (minute < DAY ? 3 : 12)) as (StationFact & { kind: 'wet-air' })[];
    expect(fact!.until).not.toBeNull();
  });
});
