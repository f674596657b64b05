import { expect, test } from 'vitest';
import { clockShifts, shiftsUntil } from '../../../analyzer/runs/clock-shift.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { missingSpans, missingUntil } from '../../../analyzer/runs/missing-data.ts';
import { endOf } from '../../../analyzer/runs/settle-facts.ts';
import type { StationFact, Track } from '../../../analyzer/site.ts';
import { Plant } from '../../../collector/contract/index.ts';
import { noise } from './station-frames.ts';

const PLANT = Plant.parse({
  site: { id: 'hall-1', timezone: 'UTC' },
  guns: [{ id: 'gun-1' }, { id: 'gun-2' }, { id: 'gun-3' }, { id: 'gun-4' }],
  air: [{ id: 'dryer' }],
});
const MINUTE = 60_000;
const DAY = 1440 * MINUTE;
const START = Date.UTC(2025, 0, 6);
const DAYS = 40;

/** Working days with stragglers, holes, days off and a clock that goes wrong, and a dryer that never rests. */
function hall(seed: number): Map<string, Track> {
  const random = noise(seed);
  const tracks = new Map<string, Track>();
  for (const [place, { id }] of [...PLANT.guns, ...PLANT.air].entries()) {
    const spans: [number, number][] = [];
    for (let day = 0; day < DAYS; day++) {
      if (random() > 0.93) continue;
      const late = place === 1 && day > 20 ? 17 * MINUTE : 0;
      const from = START + day * DAY + 360 * MINUTE + late + Math.floor((random() + 1) * MINUTE);
      const to = from + 480 * MINUTE;
      if (place === PLANT.guns.length) spans.push([from - 30 * MINUTE, from + 1380 * MINUTE]);
      else if (random() > 0.6)
        spans.push([from, from + 100 * MINUTE], [from + Math.floor((random() + 2.4) * 100) * MINUTE, to]);
      else spans.push([from, to]);
    }
    const facts: StationFact[] = [];
    for (const [index, [from]] of spans.entries())
      if (index > 0 && from - spans[index - 1]![1] >= 30 * MINUTE)
        facts.push({ kind: 'silence', station: id, time: spans[index - 1]![1], until: from });
    const runs = new GrowingRuns(id).table();
    tracks.set(id, { station: id, runs, facts, firstTime: spans[0]![0], lastTime: spans.at(-1)![1] });
  }
  return tracks;
}

/** Tracks as they are once silences that were over before a time are no longer held. */
function since(tracks: ReadonlyMap<string, Track>, from: number): Map<string, Track> {
  return new Map(
    [...tracks].map(([id, track]) => [id, { ...track, facts: track.facts.filter((fact) => endOf(fact) >= from) }]),
  );
}

for (const seed of [1, 2, 3, 4, 5, 6, 7, 8])
  test(`what silences of before a day came to is all that later ones need, hall ${seed}`, () => {
    const tracks = hall(seed);
    const whole = missingSpans(PLANT, tracks);
    const shifts = clockShifts(PLANT, tracks);
    expect(whole.length).toBeGreaterThan(2);
    for (let day = 2; day < DAYS; day += 3) {
      const [before, between] = [START + day * DAY, START + Math.floor(day / 2) * DAY];
      const first = missingUntil(PLANT, tracks, between, null);
      const state = structuredClone(missingUntil(PLANT, since(tracks, between), before, first));
      const spans = missingSpans(PLANT, since(tracks, before - 180 * MINUTE), state);
      expect(spans).toEqual(whole.filter(({ cleared }) => cleared === null || cleared >= before));
      const usual = shiftsUntil(
        PLANT,
        since(tracks, between - 180 * MINUTE),
        before,
        shiftsUntil(PLANT, tracks, between, null),
      );
      const found = clockShifts(PLANT, since(tracks, before - 180 * MINUTE), usual);
      const all = [...shifts.values()].flat();
      const late = [...found.values()].flat();
      expect(all.filter(({ time }) => time >= before + DAY)).toEqual(late.filter(({ time }) => time >= before + DAY));
    }
  });
