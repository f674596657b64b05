import { describe, expect, it } from 'vitest';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { missingSpans } from '../../../analyzer/runs/missing-data.ts';
import type { StationFact, Track } from '../../../analyzer/site.ts';
import { Plant } from '../../../collector/contract/index.ts';

const DAY = Date.UTC(2025, 8, 22);
/** Minutes of the clock from midnight on the first day: `at(14, 4)`, next morning `at(29, 50)`. */
const at = (hours: number, minutes = 0): number => DAY + (hours * 60 + minutes) * 60_000;

const PLANT = Plant.parse({
  site: { id: 'hall-1', timezone: 'Europe/Vienna' },
  guns: [{ id: 'gun-1' }, { id: 'gun-2' }, { id: 'gun-3' }],
  air: [{ id: 'dryer' }],
});

/** A station that was there in the given spans. */
function track(station: string, ...spans: [from: number, to: number][]): Track {
  const facts: StationFact[] = [];
  for (const [index, [from]] of spans.entries())
    if (index > 0) facts.push({ kind: 'silence', station, time: spans[index - 1]![1], until: from });
  const runs = new GrowingRuns(station).table();
  return { station, runs, facts, firstTime: spans[0]![0], lastTime: spans.at(-1)![1] };
}

const missing = (...tracks: Track[]) => missingSpans(PLANT, new Map(tracks.map((one) => [one.station, one])));

describe('missing data', () => {
  it('is raised after 30 minutes of silence while another gun reports, and cleared by the next reading', () => {
    const spans = missing(track('gun-1', [at(6), at(14)]), track('gun-2', [at(6), at(9, 51)], [at(10, 32), at(14)]));
    expect(spans).toEqual([{ station: 'gun-2', onset: at(9, 51), raised: at(10, 21), cleared: at(10, 32) }]);
  });

  it('is raised on the limit of 30 minutes and not below it', () => {
    const others = track('gun-1', [at(6), at(14)]);
    expect(missing(others, track('gun-2', [at(6), at(9)], [at(9, 30), at(14)]))).toHaveLength(1);
    expect(missing(others, track('gun-2', [at(6), at(9)], [at(9, 30) - 1, at(14)]))).toHaveLength(0);
  });

  it('is not raised at night when all guns stopped together though plant air goes on, nor next morning', () => {
    expect(
      missing(
        track('gun-1', [at(5, 50), at(14, 4)], [at(29, 50), at(38, 4)]),
        track('gun-2', [at(5, 50), at(13, 55)], [at(30, 10), at(38, 4)]),
        track('gun-3', [at(5, 50), at(13, 40)], [at(30, 15), at(38, 4)]),
        track('dryer', [at(5, 30), at(22)], [at(29, 30), at(46)]),
      ),
    ).toEqual([]);
  });

  it('is raised for a gun that does not come back with the others, from when the second came', () => {
    const spans = missing(
      track('gun-1', [at(5, 50), at(14, 4)], [at(29, 50), at(38, 4)]),
      track('gun-2', [at(5, 50), at(14, 4)], [at(29, 51), at(38, 4)]),
      track('gun-3', [at(5, 50), at(14, 4)], [at(33), at(38, 4)]),
      track('dryer', [at(5, 30), at(22)], [at(29, 30), at(46)]),
    );
    expect(spans).toEqual([{ station: 'gun-3', onset: at(29, 51), raised: at(30, 21), cleared: at(33) }]);
  });

  it('is not raised for the others when one gun of several is on alone or by a clock that runs ahead', () => {
    expect(
      missing(
        track('gun-1', [at(5, 50), at(14, 4)], [at(29, 10), at(38, 4)]),
        track('gun-2', [at(5, 50), at(14, 4)], [at(29, 50), at(38, 4)]),
        track('gun-3', [at(5, 50), at(14, 4)], [at(29, 50), at(38, 4)]),
      ),
    ).toEqual([]);
  });

  it('is not raised for plant air that is switched off with the hall while one gun reports on by a clock that runs ahead, but where it is still away next morning', () => {
    const four = Plant.parse({ ...PLANT, guns: [...PLANT.guns, { id: 'gun-4' }, { id: 'gun-5' }] });
    const guns = ['gun-1', 'gun-2', 'gun-3', 'gun-4'].map((id) =>
      track(id, [at(5, 50), at(14, 4)], [at(29, 50), at(38, 4)]),
    );
    const ahead = track('gun-5', [at(5, 50), at(14, 46)], [at(30, 32), at(38, 46)]);
    const look = (dryer: Track) =>
      missingSpans(four, new Map([...guns, ahead, dryer].map((one) => [one.station, one])));
    expect(look(track('dryer', [at(5, 30), at(14, 4)], [at(29, 40), at(38, 4)]))).toEqual([]);
    expect(look(track('dryer', [at(5, 30), at(14, 4)], [at(34), at(38, 4)]))).toMatchObject([
      { station: 'dryer', onset: at(29, 50), raised: at(30, 20), cleared: at(34) },
    ]);
    // One that fell silent in the midst of the day is missing all the same.
    expect(look(track('dryer', [at(5, 30), at(12)]))).toMatchObject([{ station: 'dryer', raised: at(12, 30) }]);
  });

  it('is raised for the last gun of a site of one while plant air reports', () => {
    const spans = missing(track('gun-1', [at(6), at(14)]), track('dryer', [at(5), at(22)]));
    expect(spans).toEqual([{ station: 'gun-1', onset: at(14), raised: at(14, 30), cleared: null }]);
  });

  it('is raised for a plant-air point while guns report, and not for the night when all are silent', () => {
    const spans = missing(
      track('gun-1', [at(6), at(14)], [at(30), at(38)]),
      track('gun-2', [at(6), at(14)], [at(30), at(38)]),
      track('dryer', [at(5), at(8)], [at(10), at(22)], [at(30), at(38)]),
    );
    expect(spans).toEqual([{ station: 'dryer', onset: at(8), raised: at(8, 30), cleared: at(10) }]);
  });

  it('is not raised for a hall that went off while one clock ran half an hour ahead', () => {
    const day = (id: string): Track => track(id, [at(6), at(14)], [at(30), at(38)]);
    const five = ['gun-1', 'gun-2', 'gun-3', 'gun-4', 'gun-5'].map(day);
    const ahead = track('gun-6', [at(6), at(13, 50)], [at(14, 20), at(14, 30)], [at(30, 31), at(38, 31)]);
    const plant = Plant.parse({
      site: { id: 'hall-1', timezone: 'Europe/Vienna' },
      guns: [...five, ahead].map(({ station }) => ({ id: station })),
      air: [{ id: 'dryer' }],
    });
    const all = [...five, ahead, track('dryer', [at(5), at(22)], [at(29), at(46)])];
    expect(missingSpans(plant, new Map(all.map((one) => [one.station, one])))).toEqual([]);
  });

  it('lets a finding stay open over nights until the gun is back', () => {
    const spans = missing(
      track('gun-1', [at(6), at(14)], [at(30), at(38)], [at(54), at(62)]),
      track('gun-2', [at(6), at(14)], [at(30), at(38)], [at(54), at(62)]),
      track('gun-3', [at(6), at(10)], [at(55), at(62)]),
      track('dryer', [at(5), at(70)]),
    );
    expect(spans).toEqual([{ station: 'gun-3', onset: at(10), raised: at(10, 30), cleared: at(55) }]);
  });

  it('does not blame the last gun left when it is switched off in the evening', () => {
    const spans = missing(
      track('gun-1', [at(6), at(14)], [at(30), at(38)]),
      track('gun-2', [at(6), at(10)]),
      track('dryer', [at(5), at(22)], [at(29), at(46)]),
    );
    expect(spans.map(({ station }) => station)).toEqual(['gun-2']);
  });
});
