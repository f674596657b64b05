import { describe, expect, it } from 'vitest';
import { cutRuns } from '../../../analyzer/runs/cut-runs.ts';
import { startCut } from '../../../analyzer/runs/cut-state.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { WATCHED } from '../../../analyzer/runs/streaks.ts';
import type { Channel } from '../../../collector/contract/index.ts';
import { cut, GUN } from './cut.ts';
import { framesOf, type Instant, type Sampling, sliceFrames, sprayed } from './station-frames.ts';

const PULLS = 320;
const MINUTE = 60_000;
const hall = (sampling: Sampling = {}): Instant[] =>
  sprayed(
    Array.from({ length: PULLS }, () => ({ sprayMs: 20_000, idleMs: 40_000 })),
    { idleEveryMs: 4000, ...sampling },
  );
const unread = (instant: Instant, channel: Channel): Instant => {
  const { [channel]: _, ...others } = instant;
  return others;
};
/** The same without the readings of a channel in [from, to), minutes from its beginning. */
const without = (history: Instant[], channel: Channel, from: number, to = Number.POSITIVE_INFINITY): Instant[] =>
  history.map((instant) => {
    const minute = (instant.time - history[0]!.time) / MINUTE;
    return minute < from || minute >= to ? instant : unread(instant, channel);
  });
const absent = (history: Instant[], context = GUN) =>
  cut(history, context).state.facts.filter(({ kind }) => kind === 'absent');
const at = (minute: number): number => hall()[0]!.time + minute * MINUTE;

describe('a channel that falls away', () => {
  it.each(['conveying/flow', 'conveying/pressure', 'powder/output'] as const)('is noticed: %s', (channel) => {
    const [fact, ...others] = absent(without(hall(), channel, 120));
    expect(others).toEqual([]);
    expect(fact).toMatchObject({ channel, until: null, never: false });
    // Sixty pulls and two hours after it was last looked at.
    expect(fact!.time).toBeGreaterThan(at(118));
    expect(fact!.time).toBeLessThanOrEqual(at(121));
    expect((fact as { noticed: number }).noticed).toBeLessThanOrEqual(at(242));
  });

  it('is noticed where no trigger tells of pulls and the flow is what is missing', () => {
    expect(absent(without(hall({ trigger: false }), 'conveying/flow', 120))).toMatchObject([
      { channel: 'conveying/flow', until: null },
    ]);
  });

  it('is over with its next reading', () => {
    const [fact] = absent(without(hall(), 'conveying/flow', 60, 200)) as { until: number }[];
    expect(fact!.until).toBeGreaterThanOrEqual(at(200));
    expect(fact!.until).toBeLessThan(at(202));
  });

  it('is the same however the readings are cut into blocks', () => {
    const frames = framesOf(GUN.station, without(hall(), 'conveying/pressure', 120, 300));
    let state = startCut();
    const runs = new GrowingRuns(GUN.station);
    for (let from = 0; from < frames.times.length; from += 111) {
      state = structuredClone(state);
      cutRuns(GUN, state, sliceFrames(frames, from, from + 111), runs);
    }
    expect(cut(frames).state.facts).toHaveLength(1);
    expect(state.facts).toEqual(cut(frames).state.facts);
  });

  it('is none while it is away for less than two hours, or was never used', () => {
    expect(absent(without(hall(), 'conveying/flow', 120, 238))).toEqual([]);
    expect(absent(without(hall(), 'conveying/flow', 20))).toEqual([]);
    expect(absent(without(hall(), 'conveying/flow', 0))).toEqual([]);
  });

  it('is none for what a node sends when it changes, as seldom as it used to', () => {
    const seldom = hall().map((instant, index) =>
      Math.floor(index / 400) % 2 === 0 ? instant : unread(instant, 'supply/pressure'),
    );
    expect(absent([...seldom, ...seldom.map((one) => ({ ...one, time: one.time + PULLS * MINUTE }))])).toEqual([]);
  });

  it('is noticed of one that was fitted late as of any other: before, it was not away', () => {
    const late = without(without(hall(), 'conveying/flow', 0, 100), 'conveying/flow', 190);
    expect(absent(late)).toMatchObject([{ channel: 'conveying/flow', until: null, never: false }]);
  });

  it('is none for a set output, which is told when it is set', () => {
    const set = { ...GUN, outputMeasured: false, outputSet: true };
    expect(absent(without(hall(), 'powder/output', 120), set)).toEqual([]);
  });

  it('is told of a channel that the plant file says is fitted and that was never read', () => {
    const fitted = {
      ...GUN,
      fitted: new Set([WATCHED.indexOf('conveying/ripple'), WATCHED.indexOf('conveying/flow')]),
    };
    expect(absent(hall(), fitted)).toMatchObject([{ channel: 'conveying/ripple', never: true, until: null }]);
  });
});
