import { describe, expect, it } from 'vitest';
import { Plant } from '../../../collector/contract/plant.ts';
import { demoPlan, demoPlant } from '../../../simulators/index.ts';
import { runDay } from '../../../simulators/simulation.ts';

const HOUR_MS = 3_600_000;

describe('the demo', () => {
  it('has a plant file that the contract takes, with eight guns', () => {
    expect(Plant.parse(demoPlant()).guns).toHaveLength(8);
  });

  // Every weekday, night and day, and both days on which European clocks move (source: directive 2000/84/EC).
  const moments = [
    '2026-03-02T03:10:00Z',
    '2026-03-03T11:40:00Z',
    '2026-03-04T23:55:00Z',
    '2026-03-07T06:00:00Z',
    '2026-03-08T15:20:00Z',
    '2026-03-29T01:30:00Z',
    '2026-10-25T00:45:00Z',
  ];
  for (const moment of moments)
    it(`has a shift that contains ${moment} and goes on after it`, () => {
      const now = Date.parse(moment);
      const shifts = [];
      for (const day of demoPlan(now).days()) {
        shifts.push(...day.shifts);
        if (shifts.length > 43) break;
      }
      const at = shifts.findIndex(({ start, end }) => now >= start && now < end);
      expect(at).toBe(40);
      expect(now - shifts[at]!.start).toBeGreaterThan(2.9 * HOUR_MS);
      expect(shifts[at]!.breaks.some(({ start, end }) => start < now && now < end - 60_000)).toBe(false);
      // Round the clock from here; when clocks move, a day of 24 h and the next may part or overlap by that hour.
      expect(Math.abs(shifts[at + 1]!.start - shifts[at]!.end)).toBeLessThanOrEqual(HOUR_MS);
    });

  it('has open causes at now, and all but the new gun have sprayed just before', () => {
    const now = Date.parse('2026-03-08T15:20:00Z');
    const { hall, days } = demoPlan(now);
    const sprayed = new Map<string, number>();
    for (const day of days()) {
      for (const { frames, rows } of runDay(hall, day).sent)
        for (const row of rows)
          if (frames.columns.trigger?.[row] === 1 && frames.times[row]! <= now)
            sprayed.set(frames.station, frames.times[row]!);
      if (day.shifts.some(({ end }) => end > now)) break;
    }
    expect([...sprayed.keys()].sort()).toEqual(hall.guns.map(({ spec }) => spec.id));
    for (const time of sprayed.values()) expect(now - time).toBeLessThan(HOUR_MS);
    expect(hall.guns[0]!.state.insert.used).toBeGreaterThan(0.7);
    const open = hall.guns.flatMap(({ state }) =>
      state.faults.filter(({ active, plan }) => active && plan.cause !== 'no-data'),
    );
    expect(open.map(({ plan }) => plan.cause)).toEqual(['pump-seals', 'conveying-filter', 'sensor', 'fluidizing-ring']);
    for (const { size, plan } of open) expect(size / plan.size).toBeGreaterThan(0.6);
    for (const gun of [4, 5, 6]) expect(hall.guns[gun]!.state.insert.used).toBeLessThan(0.4);
  }, 60_000);
});
