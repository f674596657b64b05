import { afterEach, describe, expect, it, vi } from 'vitest';
import type { SitePipeline, Track } from '../../../analyzer/index.ts';
import { byRaised } from '../../../analyzer/index.ts';
import { cutRuns, passTime } from '../../../analyzer/runs/cut-runs.ts';
import { startCut } from '../../../analyzer/runs/cut-state.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { siteTracks } from '../../../analyzer/runs/site-tracks.ts';
import { cutContexts, trackOf } from '../../../analyzer/runs/track.ts';
import {
  type Finding,
  type Frames,
  type LogEntry,
  type Pack,
  type Plant,
  Settings,
} from '../../../collector/contract/index.ts';
import { liveOver, openHall, packsOf, workOff } from './live-hall.ts';
import { madeUpHall, PLANT, START } from './made-up-hall.ts';
import { type Tally, tallyPipeline } from './tally-pipeline.ts';

const HALL = madeUpHall();
const LOG: LogEntry[] = [
  { time: START + 3_600_000, gun: 'gun-1', part: 'pump-insert', action: 'replaced', found: 'worn', note: '' },
  { time: START + 90_000_000, gun: 'gun-2', part: 'pump-seals', action: 'inspected', found: null, note: '' },
];

/** The same in one go, without store or thread. */
function inOneGo(
  hall: ReadonlyMap<string, Frames>,
  log: readonly LogEntry[],
  adopted: readonly number[] = [],
  plant: Plant = PLANT,
): Finding[] {
  const contexts = cutContexts(plant);
  const cuts = [...hall].map(([id, frames]) => {
    const [context, state, runs] = [contexts.get(id)!, startCut(), new GrowingRuns(id)];
    cutRuns(context, state, frames, runs);
    return { id, context, state, runs };
  });
  const upTo = Math.max(...cuts.map(({ state }) => state.lastTime));
  const raw = new Map<string, Track>();
  for (const { id, context, state, runs } of cuts) {
    passTime(context, state, upTo, runs);
    raw.set(id, trackOf(state, runs, upTo));
  }
  const settings = [0, ...adopted].map((time, index) => ({
    version: index + 1,
    adopted: time,
    settings: Settings.parse({}),
  }));
  const context = { plant, settings };
  const tally = tallyPipeline.init(context);
  tallyPipeline.advance(context, tally, siteTracks(plant, raw), log, upTo);
  return tallyPipeline.findings(context, tally).sort(byRaised);
}

/** A permutation of 0..length-1 that a seed decides. */
function shuffled<T>(items: readonly T[], seed: number): T[] {
  const result = [...items];
  let state = seed;
  for (let at = result.length - 1; at > 0; at--) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    const other = state % (at + 1);
    [result[at], result[other]] = [result[other]!, result[at]!];
  }
  return result;
}

const packs = (rows: number): Pack[] => [...HALL.values()].flatMap((frames) => packsOf(frames, rows));
const byTime = (left: Pack, right: Pack): number => left.times[0]! - right.times[0]!;

describe('live analysis of a store', () => {
  const open: { close(): Promise<void> }[] = [];
  afterEach(async () => {
    for (const hall of open.splice(0)) await hall.close();
  });
  const newHall = async () => {
    const hall = await openHall();
    open.push(hall);
    return hall;
  };
  const arrivals: Record<string, Pack[]> = {
    'in order of time': packs(40).sort(byTime),
    'station by station': packs(300),
    backwards: packs(200).sort(byTime).reverse(),
    shuffled: shuffled(packs(150), 7),
    'shuffled, some twice': shuffled([...packs(150), ...packs(400).filter((_, index) => index % 3 === 0)], 3),
  };

  for (const [name, order] of Object.entries(arrivals)) {
    it(`ends with what one go gives when readings come ${name}`, async () => {
      const { writer, store } = await newHall();
      for (const entry of LOG) store.log.add(entry, { recordedAt: 0, source: 'test' });
      const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline);
      for (const [index, pack] of order.entries()) {
        analyzer.committed((await writer.commit({ packs: [pack] })).stations);
        // Now and then it gets time for everything, mostly for a slice only, and it writes down what it has.
        if (index % 17 === 0) workOff(analyzer, clock);
        else {
          clock.now += 40;
          analyzer.work();
        }
        if (index % 23 === 0) analyzer.flush();
      }
      expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, LOG));
      analyzer.flush();
      const stored = store.findings.list().map(({ finding }) => finding);
      expect(stored.sort(byRaised)).toEqual(inOneGo(HALL, LOG));
      expect(store.runs.load('gun-1').length).toBeGreaterThan(200);
    });
  }

  it('leaves a burst alone while it comes, and ends with what one go gives', async () => {
    const { writer, store } = await newHall();
    const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline);
    for (const pack of packs(300)) {
      analyzer.committed((await writer.commit({ packs: [pack] })).stations, true);
      expect(analyzer.work()).toBeGreaterThan(0);
      clock.now += 100;
    }
    expect(analyzer.settled).toBe(false);
    expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, []));
  });

  it('goes on after a restart, also when it was killed between commit and analysis', async () => {
    const { writer, store } = await newHall();
    const order = shuffled(packs(120), 19);
    for (const [index, pack] of order.entries()) {
      const third = Math.floor(order.length / 3);
      if (index % third === 0) {
        // Earlier analyzers are dropped without a word: they had no time to write down their last work.
        const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline);
        workOff(analyzer, clock);
        analyzer.flush();
      }
      await writer.commit({ packs: [pack] });
    }
    const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline);
    expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, []));
    analyzer.flush();
    const again = liveOver(store, PLANT, tallyPipeline);
    expect(workOff(again.analyzer, again.clock)).toEqual(inOneGo(HALL, []));
  });

  it.each<[string, SitePipeline<Tally>, Plant, boolean]>([
    ['another version of stage two', { ...tallyPipeline, stateVersion: 2 }, PLANT, false],
    ['another time zone', tallyPipeline, { ...PLANT, site: { ...PLANT.site, timezone: 'Asia/Tokyo' } }, false],
    ['another altitude', tallyPipeline, { ...PLANT, site: { ...PLANT.site, altitude: 1500 } }, true],
  ])(
    'under %s it judges anew what one go gives, and cuts readings anew only where it has to',
    async (_, pipeline, plant, cutsAnew) => {
      const { writer, store } = await newHall();
      const before = liveOver(store, PLANT, tallyPipeline);
      for (const entry of LOG) store.log.add(entry, { recordedAt: 0, source: 'test' });
      before.analyzer.committed((await writer.commit({ packs: packs(400) })).stations);
      workOff(before.analyzer, before.clock);
      before.analyzer.flush();
      const read = vi.spyOn(store.readings, 'iterateFrames');
      const { analyzer, clock } = liveOver(store, plant, pipeline);
      const from = Math.min(...read.mock.calls.map(([, start]) => start));
      expect(from <= START).toBe(cutsAnew);
      expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, LOG, [], plant));
      analyzer.flush();
      const again = liveOver(store, plant, pipeline);
      expect(workOff(again.analyzer, again.clock)).toEqual(inOneGo(HALL, LOG, [], plant));
    },
  );

  it('looks again at what it was killed over after it had written it down', async () => {
    const { writer, store } = await newHall();
    const order = packs(400).sort(byTime);
    const late = order.splice(3, 1);
    const before = liveOver(store, PLANT, tallyPipeline);
    before.analyzer.committed((await writer.commit({ packs: order })).stations);
    workOff(before.analyzer, before.clock);
    before.analyzer.flush();
    for (const entry of LOG) store.log.add(entry, { recordedAt: 0, source: 'test' });
    expect(before.analyzer.recordsChanged()).toBe(true);
    before.analyzer.committed((await writer.commit({ packs: late })).stations);
    // The station takes in what came late; the site has no time to.
    expect(before.analyzer.work()).toBe('busy');
    before.analyzer.flush();
    const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline);
    expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, LOG));
  });

  it('looks again from the time of a log entry and of a settings version that come late', async () => {
    const { writer, store } = await newHall();
    store.settings.add(Settings.parse({}), { adopted: 0, recordedAt: 0, who: 'test', why: '' });
    const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline);
    analyzer.committed((await writer.commit({ packs: packs(400) })).stations);
    expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, []));
    for (const entry of LOG) store.log.add(entry, { recordedAt: 1, source: 'test' });
    expect(analyzer.recordsChanged()).toBe(true);
    expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, LOG));
    const adopted = START + 86_400_000;
    store.settings.add(Settings.parse({ smallestChange: 0.04 }), { adopted, recordedAt: 2, who: 'test', why: '' });
    expect(analyzer.recordsChanged()).toBe(true);
    expect(analyzer.recordsChanged()).toBe(false);
    expect(workOff(analyzer, clock)).toEqual(inOneGo(HALL, LOG, [adopted]));
  });

  it('has nothing to do, and does nothing, with repeated readings only', async () => {
    const { writer, store } = await newHall();
    const { analyzer, clock } = liveOver(store, PLANT, tallyPipeline);
    analyzer.committed((await writer.commit({ packs: packs(400) })).stations);
    const before = workOff(analyzer, clock);
    analyzer.committed((await writer.commit({ packs: packs(400).slice(2, 4) })).stations);
    expect(workOff(analyzer, clock)).toEqual(before);
  });
});
