import { describe, expect, it } from 'vitest';
import { clockShifts } from '../../../analyzer/runs/clock-shift.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import type { StationFact, Track } from '../../../analyzer/site.ts';
import { Plant } from '../../../collector/contract/index.ts';

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;
const MIDNIGHT = Date.UTC(2025, 8, 22);
const GUNS = ['gun-1', 'gun-2', 'gun-3', 'gun-4'];
const PLANT = Plant.parse({
  site: { id: 'hall-1', timezone: 'Europe/Vienna' },
  guns: GUNS.map((id) => ({ id })),
});

/** A gun that is on from 6 to 14 each day, as its clock shows: off by so many minutes on each day. */
function shifted(station: string, offMinutes: readonly number[]): Track {
  const spans = offMinutes.map((off, day) => [
    MIDNIGHT + day * DAY + (360 + off) * MINUTE,
    MIDNIGHT + day * DAY + (840 + off) * MINUTE,
  ]);
  const facts: StationFact[] = [];
  for (let day = 1; day < spans.length; day++)
    facts.push({ kind: 'silence', station, time: spans[day - 1]![1]!, until: spans[day]![0]! });
  const runs = new GrowingRuns(station).table();
  return { station, runs, facts, firstTime: spans[0]![0]!, lastTime: spans.at(-1)![1]! };
}

const shifts = (last: readonly number[]): StationFact[] => {
  const tracks = GUNS.map((id, index) => shifted(id, id === 'gun-4' ? last : last.map(() => index * 0.1)));
  const found = clockShifts(PLANT, new Map(tracks.map((track) => [track.station, track])));
  expect([...found.keys()].filter((id) => id !== 'gun-4')).toEqual([]);
  return found.get('gun-4') ?? [];
};

describe('clocks against those of the other guns', () => {
  it('are off when a working day begins and ends later than before by the same time', () => {
    const facts = shifts([0, 0, 0, 0, 0, 0, 20, 20, 0]);
    expect(facts[0]).toMatchObject({ kind: 'clock', station: 'gun-4' });
    // Known two hours after the end of the first day that was shifted as a whole.
    expect(facts[0]!.time).toBe(MIDNIGHT + 6 * DAY + (840 + 20 + 120) * MINUTE);
    expect((facts[0] as { offsetMs: number }).offsetMs / MINUTE).toBeCloseTo(20, 0);
    expect(facts.every(({ time }) => time < MIDNIGHT + 8 * DAY)).toBe(true);
  });

  it('are found where the clock of another gun is off too, and both are told', () => {
    const off = (id: string): number[] =>
      id === 'gun-5' ? [0, 0, 0, 0, 0, 0, 20, 20] : id === 'gun-6' ? [0, 0, 0, 0, 0, 0, -30, -30] : Array(8).fill(0);
    const guns = [...GUNS, 'gun-5', 'gun-6'];
    const plant = Plant.parse({ ...PLANT, guns: guns.map((id) => ({ id })) });
    const found = clockShifts(plant, new Map(guns.map((id) => [id, shifted(id, off(id))])));
    expect([...found.keys()].sort()).toEqual(['gun-5', 'gun-6']);
  });

  it('are found when they go early too', () => {
    expect(shifts([0, 0, 0, 0, 0, 0, -9, -9])[0]).toMatchObject({
      detail: expect.stringContaining('9 minutes before'),
    });
  });

  it('are found when they are off by hours, and tell of hours in which the hall was off', () => {
    for (const hours of [2, 3, -2, -3])
      expect(shifts([0, 0, 0, 0, 0, 0, 60 * hours, 60 * hours, 0])[0], `${hours} h`).toMatchObject({
        offsetMs: expect.closeTo(60 * hours * MINUTE, -4),
      });
  });

  it('are not off by hours where people work in another shift of a hall that is on', () => {
    /** Six of the eight hours of the hall, the first ones or the last ones. */
    const short = (late: boolean, day: number): [number, number] => {
      const from = MIDNIGHT + day * DAY + (late ? 480 : 360) * MINUTE;
      return [from, from + 360 * MINUTE];
    };
    const spans = Array.from({ length: 9 }, (_, day) => short(day >= 6, day));
    const facts: StationFact[] = spans
      .slice(1)
      .map(([until], day) => ({ kind: 'silence', station: 'gun-4', time: spans[day]![1], until }));
    const own = { ...shifted('gun-4', Array(9).fill(0)), facts, firstTime: spans[0]![0], lastTime: spans.at(-1)![1] };
    const others = GUNS.slice(0, 3).map((id) => shifted(id, Array(9).fill(0)));
    expect(clockShifts(PLANT, new Map([...others, own].map((track) => [track.station, track]))).size).toBe(0);
  });

  it('are not off when they always were, by little, or on one side of a day only', () => {
    expect(shifts([12, 12, 12, 12, 12, 12, 12, 12])).toEqual([]);
    // People who come and go as they like tell nothing of a clock.
    expect(shifts([0, 7, -3, 5, 9, 1, 20, 20, 20])).toEqual([]);
    expect(shifts([0, 0, 0, 0, 0, 0, 3, 3, 3])).toEqual([]);
    const late = shifted('gun-4', [0, 0, 0, 0, 0, 0, 0, 0, 0]);
    const facts = late.facts.map((fact) =>
      fact.kind === 'silence' ? { ...fact, until: fact.until! + 30 * MINUTE } : fact,
    );
    const others = GUNS.slice(0, 3).map((id) => shifted(id, [0, 0, 0, 0, 0, 0, 0, 0, 0]));
    const tracks = new Map([...others, { ...late, facts }].map((track) => [track.station, track]));
    expect(clockShifts(PLANT, tracks).size).toBe(0);
  });
});
