import { describe, expect, it } from 'vitest';
import { passTime } from '../../../analyzer/runs/cut-runs.ts';
import { trackOf } from '../../../analyzer/runs/track.ts';
import { cut, GUN } from './cut.ts';
import { type Instant, noise, type PullPlan, sprayed } from './station-frames.ts';

const MINUTE = 60_000;
const pulls = (count: number, plan: Partial<PullPlan> = {}): PullPlan[] =>
  Array.from({ length: count }, () => ({ sprayMs: 20_000, idleMs: 40_000, ...plan }));
const every2s = { idleEveryMs: 2000 };

describe('silence', () => {
  const at = (minutes: number): Instant => ({ time: 1_750_000_000_000 + minutes * MINUTE, 'supply/pressure': 6 });

  it('is a gap of 30 minutes and more, on the limit and not below it', () => {
    expect(cut([at(0), at(29.99)]).state.facts).toEqual([]);
    expect(cut([at(0), at(30)]).state.facts).toEqual([
      { kind: 'silence', station: 'gun-1', time: at(0).time, until: at(30).time },
    ]);
  });

  it('stands open when the site is known beyond it', () => {
    const { state, runs } = cut([at(0), at(1)]);
    passTime(GUN, state, at(40).time, runs);
    expect(trackOf(state, runs, at(30.9).time).facts).toEqual([]);
    expect(trackOf(state, runs, at(31).time).facts).toEqual([
      { kind: 'silence', station: 'gun-1', time: at(1).time, until: null },
    ]);
  });
});

describe('a stuck channel', () => {
  const frozen = (history: Instant[], from: number, to: number, channel: 'conveying/flow' | 'supply/pressure') =>
    history.map((instant, index) =>
      index >= from && index < to && instant[channel] !== undefined
        ? { ...instant, [channel]: history.find((other, at) => at >= from && other[channel] !== undefined)![channel] }
        : instant,
    );

  it('is noticed when conveying flow stands still over pulls and pauses, and ends when it moves again', () => {
    const history = frozen(sprayed(pulls(60), every2s), 600, 1200, 'conveying/flow');
    const { facts } = cut(history).state;
    expect(facts).toHaveLength(1);
    expect(facts[0]).toMatchObject({ kind: 'stuck', channel: 'conveying/flow', time: history[600]!.time });
    expect(facts[0]).toMatchObject({ until: history[1200]!.time });
  });

  it('is noticed on a channel that used to move, though pulls do not swing it', () => {
    const history = frozen(sprayed(pulls(200), { ...every2s, slowEvery: 2 }), 2500, 6000, 'supply/pressure');
    const facts = cut(history).state.facts.filter((fact) => fact.kind === 'stuck');
    expect(facts.map((fact) => fact.channel)).toEqual(['supply/pressure']);
  });

  it('is noticed when a measured output reads nothing through hours of pulls and pauses', () => {
    const reads = (count: number, value: number) =>
      sprayed(pulls(count), every2s).map((instant) => ({ ...instant, 'powder/output': value }));
    expect(cut(reads(150, 0)).state.facts).toMatchObject([{ kind: 'stuck', channel: 'powder/output', until: null }]);
    // A line that is blown clean, or an empty box, for three quarters of an hour.
    expect(cut(reads(45, 0)).state.facts).toEqual([]);
    expect(cut(reads(150, 0), { ...GUN, outputMeasured: false }).state.facts).toEqual([]);
  });

  it('is noticed when conveying flow stands at none on a gun without a trigger while its pressure comes and goes', () => {
    const history = sprayed(pulls(160), { ...every2s, trigger: false });
    const { time } = history[1500]!;
    const stopped = (bar: (instant: Instant) => number | undefined) =>
      history.map((instant, index) =>
        index < 1500 ? instant : { ...instant, 'conveying/flow': 0.01, 'conveying/pressure': bar(instant) ?? 0 },
      );
    const stuck = stopped((instant) => instant['conveying/pressure']);
    expect(cut(stuck).state.facts).toMatchObject([{ kind: 'stuck', channel: 'conveying/flow', time, until: null }]);
    // A gun that nobody uses has no pressure either, though its gauge flickers.
    const unused = stopped(({ time: at }) => (at % 4000 < 2000 ? 0.01 : 0.02));
    expect(cut(unused).state.facts).toEqual([]);
  });

  it('is the flow where a node sends the same for hours from the midst of a pull', () => {
    const history = sprayed(pulls(40), every2s);
    const last = history.findLastIndex(({ trigger }) => trigger === 1);
    const frozen = (hours: number): Instant[] =>
      Array.from({ length: hours * 900 }, (_, at) => ({
        ...history[last]!,
        time: history[last]!.time + 4000 * (at + 1),
      }));
    const told = (hours: number) => cut([...history.slice(0, last + 1), ...frozen(hours)]).state.facts;
    expect(told(2.1)).toMatchObject([{ kind: 'stuck', channel: 'conveying/flow', time: history[last]!.time }]);
    expect(told(2.1)[0]).toHaveProperty('detail', expect.stringContaining('sends the same'));
    expect(told(1.9)).toEqual([]);
  });

  it('is not called on one that was always coarse, on unused air, on a set output or while all stand still', () => {
    const coarse = sprayed(pulls(200), every2s).map((instant, index) => ({
      ...instant,
      'supply/pressure': 6,
      'fluidizing/pressure': index % 900 < 450 ? 0.5 : 0.6,
      'supplementary/flow': 0,
      'supplementary/pressure': 0,
      'powder/output': 150,
    }));
    expect(cut(coarse).state.facts).toEqual([]);
    const still = sprayed(pulls(200), every2s).map(({ time }) => ({ time, trigger: 0, 'conveying/flow': 1.5 }));
    expect(cut(still).state.facts).toEqual([]);
  });
});

describe('a trigger that contradicts the air', () => {
  it('is trusted while purges of several colour changes blow air without it', () => {
    const purge = { sprayMs: 10_000, idleMs: 40_000, output: 0 };
    const change = [...pulls(3, purge), ...pulls(1, { ...purge, idleMs: 40 * MINUTE })];
    const worked = sprayed(pulls(60), every2s);
    const start = worked.at(-1)!.time + 60_000;
    const purged = sprayed([...change, ...change, ...change, ...change], { ...every2s, start });
    const blown = purged.map((instant) => ({ ...instant, trigger: 0 }));
    expect(cut([...worked, ...blown]).state.facts).toEqual([]);
  });

  it('is called stuck when released, and spraying goes on from flow', () => {
    const history = sprayed(pulls(60), every2s).map((instant, index) =>
      index > 600 ? { ...instant, trigger: 0 } : instant,
    );
    const { state, column } = cut(history);
    expect(state.facts).toMatchObject([{ kind: 'stuck', channel: 'trigger', until: null }]);
    expect(column('start').length).toBeGreaterThan(45);
    expect(column('conveyingFlow').every((flow) => Number.isNaN(flow) || flow > 1.9)).toBe(true);
  });

  it('is not called stuck for air that is there again after a gap in the readings', () => {
    // Rows of a logger of which one in ten is left: presses and releases between them were not seen.
    const history = sprayed(pulls(400, { sprayMs: 60_000, idleMs: 15_000 }), { ...every2s, idleEveryMs: 2000 });
    const pick = noise(7);
    const thinned = history.filter(() => pick() > 0.93);
    expect(thinned.length).toBeGreaterThan(300);
    expect(cut(thinned).state.facts.filter((fact) => fact.kind === 'stuck')).toEqual([]);
  });

  it('is called stuck when on, and idle time does not become spray time', () => {
    const history = sprayed([...pulls(40), ...pulls(40, { sprayMs: 20_000, idleMs: 5 * MINUTE })], every2s);
    const stuck = history.map((instant, index) => (index > 1300 ? { ...instant, trigger: 1 } : instant));
    const hours = (instants: Instant[]): number =>
      cut(instants)
        .column('sprayMs')
        .reduce((sum, length) => sum + length, 0) / 3_600_000;
    expect(cut(stuck).state.facts).toMatchObject([{ kind: 'stuck', channel: 'trigger' }]);
    expect(hours(stuck) / hours(history)).toBeLessThan(1.35);
  });
});

describe('no air while triggered', () => {
  it('is noticed at the third pull and ends with the next that has air', () => {
    const plans = [...pulls(40), ...pulls(5, { flow: 0, pressure: 0, output: 0 }), ...pulls(5)];
    const { state, column } = cut(sprayed(plans));
    const begin = 1_750_000_000_000;
    expect(state.facts).toEqual([
      {
        kind: 'no-air',
        station: 'gun-1',
        time: begin + 40 * MINUTE,
        noticed: begin + 42 * MINUTE + 20_000,
        until: begin + 45 * MINUTE,
      },
    ]);
    expect(column('start')).toHaveLength(45);
  });

  it('is not called while pressure shows that air comes and only the flow sensor says none', () => {
    const history = sprayed([...pulls(40), ...pulls(5, { flow: 0 })]);
    expect(cut(history).state.facts.filter((fact) => fact.kind === 'no-air')).toEqual([]);
  });
});

describe('odd readings', () => {
  it('gives no fact and no run with made-up numbers for constant, negative and lonely readings', () => {
    const random = noise(3);
    const odd = Array.from({ length: 3000 }, (_, index) => ({
      time: 1_750_000_000_000 + index * 2000,
      'conveying/flow': -0.4 + 0.01 * random(),
      'conveying/pressure': -0.1,
    }));
    const { state, runs } = cut(odd);
    expect(state.facts).toEqual([]);
    expect(runs.length).toBe(0);
    expect(cut([{ time: 1_750_000_000_000, trigger: 1 }]).runs.length).toBe(0);
  });
});

describe('a clock that was set back', () => {
  it('is noticed when two series of readings run through each other, and not in an ordinary day', () => {
    const day = sprayed(pulls(120), { noise: 0.02 });
    expect(cut(day).state.facts).toEqual([]);
    const set = day[900]!.time;
    // From then on the node tells times that it has told before, 15 minutes back, between the old ones.
    const twice = day.map((instant) =>
      instant.time > set ? { ...instant, time: instant.time - 15 * MINUTE - 33_300 } : instant,
    );
    const facts = cut(twice.sort((left, right) => left.time - right.time)).state.facts;
    expect(facts).toHaveLength(1);
    expect(facts[0]).toMatchObject({ kind: 'clock', offsetMs: null });
    expect(facts[0]!.time).toBeGreaterThan(set - 16 * MINUTE);
    expect(facts[0]!.time).toBeLessThan(set);
  });
});

describe('a trigger that says the opposite of the air', () => {
  const reversed = (history: Instant[], from: number, to: number) =>
    history.map((instant, index) =>
      index >= from && index < to ? { ...instant, trigger: 1 - instant.trigger! } : instant,
    );

  it('is told as the trigger’s own fault, not as missing air, and its pulls are taken from the flow', () => {
    const history = sprayed(pulls(160), every2s);
    const { state, runs } = cut(reversed(history, 0, history.length));
    expect(state.facts).toHaveLength(1);
    expect(state.facts[0]).toMatchObject({ kind: 'stuck', channel: 'trigger', until: null });
    expect(state.facts[0]).toHaveProperty('detail', expect.stringContaining('opposite'));
    expect(runs.length).toBeGreaterThan(100);
  });

  it('is not one that a node sends some seconds after the flow', () => {
    const history = sprayed(pulls(160), every2s);
    const late = history.map((instant, index) => ({ ...instant, trigger: history[Math.max(0, index - 3)]!.trigger! }));
    expect(cut(late).state.facts).toEqual([]);
  });

  it('is trusted again once it agrees with the air', () => {
    const history = sprayed(pulls(160), every2s);
    const { facts } = cut(reversed(history, 1500, 3000)).state;
    expect(facts.map((fact) => fact.kind)).toEqual(['stuck']);
    expect(facts[0]).toMatchObject({ until: expect.any(Number) });
  });
});
