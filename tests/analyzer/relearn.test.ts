import { isDeepStrictEqual } from 'node:util';
import { describe, expect, test } from 'vitest';
import { analyzeSite } from '../../analyzer/analyze-site.ts';
import { finish } from '../../analyzer/finish.ts';
import { sitePipeline } from '../../analyzer/pipeline.ts';
import type { PipelineState } from '../../analyzer/pipeline-state.ts';
import { spanOf } from '../../analyzer/study/history.ts';
import { replayHistory } from '../../analyzer/study/replay-history.ts';
import type { GunView } from '../../analyzer/views.ts';
import { type BaselineWords, type Finding, Plant, Settings } from '../../collector/contract/index.ts';
import { SimulatedReadings } from '../../evaluation/simulated-readings.ts';
import { plantOf, runHall } from '../../simulators/index.ts';
import { smallHall } from '../simulators/small-hall.ts';

const DAY = 86_400_000;
const settings = Settings.parse({});
const hall = smallHall({ weeks: 4, newAtStart: 1, intervalS: [10] }, 5);
const sent = new SimulatedReadings();
for (const day of runHall(hall)) for (const reports of day.sent) sent.add(reports);
const plant = Plant.parse(plantOf(hall));
const log = hall.guns.flatMap(({ maintenance }) => maintenance.log).sort((left, right) => left.time - right.time);
const { tracks } = analyzeSite(sitePipeline, { plant, settings, log, readings: sent.table() });
const { firstTime, upTo } = spanOf(tracks);
const from = firstTime + 9 * DAY;
const decided = firstTime + 18 * DAY;
const versions = [{ version: 1, adopted: 0, settings }];

/** The whole history with these words, in slices of so many days; the state is cloned between them, as checkpoints do. */
function run(words: BaselineWords | undefined, end = upTo, sliceDays = 1000): PipelineState {
  const context = { plant, settings: versions, ...(words === undefined ? {} : { words }) };
  let state = sitePipeline.init(context);
  for (let time = firstTime; time < end; ) {
    time = Math.min(end, time + sliceDays * DAY);
    state = structuredClone(state);
    sitePipeline.advance(context, state, tracks, log, time);
  }
  return state;
}

const context = { plant, settings: versions };
const viewOf = (state: PipelineState, gun = 'gun-01'): GunView =>
  sitePipeline.views(context, state).find(({ id }) => id === gun)!;
const raisedBefore = (state: PipelineState, time: number): string[] =>
  sitePipeline
    .findings(context, state)
    .filter(({ raised }) => Date.parse(raised) <= time)
    .map(({ gun, cause, raised, onset }: Finding) => `${gun} ${cause} ${raised} ${onset}`);

const anew = (undone: number | null = null): BaselineWords => ({
  relearnings: [{ gun: 'gun-01', from, decided, undone }],
  dismissals: [],
});
const plain = run(undefined);
const learnt = run(anew());

describe('a baseline learnt anew from a date', () => {
  test('holds from the decision on, taught by what came since the date', () => {
    expect(viewOf(run(anew(), decided - DAY)).learntFrom).toBeNull();
    const view = viewOf(learnt);
    expect(view.learntFrom).toBe(from);
    expect(view.learning).toBeNull();
    expect(learnt.guns['gun-01']!.runs).toBeLessThan(plain.guns['gun-01']!.runs);
    expect(learnt.guns['gun-01']!.sprayHours).toBeCloseTo(plain.guns['gun-01']!.sprayHours, 6);
    // The insert may be of any age then, so the level is less sure than it was.
    const width = ({ excessAir }: GunView): number => excessAir!.p90 - excessAir!.p10;
    expect(width(view)).toBeGreaterThan(width(viewOf(plain)));
    expect(viewOf(learnt, 'gun-02').learntFrom).toBeNull();
  });

  test('leaves what was raised before as it was', () => {
    expect(raisedBefore(plain, decided).length).toBeGreaterThan(0);
    expect(raisedBefore(learnt, decided)).toEqual(raisedBefore(plain, decided));
  });

  test('comes out the same however the way is cut', () => {
    expect(isDeepStrictEqual(run(anew(), upTo, 3), learnt)).toBe(true);
  });

  test('undone, the one before holds again', () => {
    const back = run(anew(decided + 2 * DAY));
    expect(viewOf(back).learntFrom).toBeNull();
    expect(viewOf(back).excessAir!.p50).toBeCloseTo(viewOf(plain).excessAir!.p50, 6);
    expect(raisedBefore(back, decided)).toEqual(raisedBefore(plain, decided));
  });

  test('a replay sees it', () => {
    const history = { plant, log, tracks, judgements: [], settings: versions, firstTime, upTo };
    const replayed = finish(replayHistory({ ...history, words: anew() }, settings, upTo + 1));
    expect(replayed.findings).toEqual(sitePipeline.findings(context, learnt));
  });

  test('in the midst of a life it is said that wear may pass for normal', () => {
    expect(viewOf(plain).wornDoubt ?? '').not.toContain('learnt anew');
    const state = run(
      { relearnings: [{ gun: 'gun-01', from, decided: from + DAY, undone: null }], dismissals: [] },
      from + 2 * DAY,
    );
    expect(viewOf(state).wornDoubt).toMatch(/learnt anew \d+ spray hours into an insert’s life/);
  });
});
