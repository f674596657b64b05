import { describe, expect, test } from 'vitest';
import { agree, Parting } from '../../../analyzer/diagnose/agree.ts';
import { finish, gridOf } from '../../../analyzer/index.ts';
import { RunTape } from '../../../analyzer/pipeline-tape.ts';
import { commonTunables } from '../../../analyzer/pipeline-together.ts';
import { replayHistory } from '../../../analyzer/study/replay-history.ts';
import { replayTogether } from '../../../analyzer/study/replay-together.ts';
import { Settings } from '../../../collector/contract/index.ts';
import { stepBench } from '../diagnose/step-bench.ts';
import { historyOf } from './history-of.ts';

const base = Settings.parse({});

/** Some of the curve's grid, and settings that differ in everything there is. */
const TRIED: readonly Settings[] = [
  ...gridOf(base).filter((_, place) => place % 3 === 0),
  base,
  Settings.parse({ learningRuns: 15, changeLimitExcessAir: 0.08, leadTimeShifts: 9 }),
  Settings.parse({
    overrides: [
      { part: 'pump-seals', smallestChange: 0.02 },
      { gun: 'gun-01', learningRuns: 400 },
    ],
  }),
  Settings.parse({ overrides: [{ part: 'conveying-filter', falseAlarmsPerGunYear: 20 }] }),
];

const shown = (result: unknown): string =>
  JSON.stringify(result, (_, value: unknown) => (value instanceof Map ? [...value] : value));

describe('settings replayed together', () => {
  test.each([5, 23])(
    'find what each finds alone, to the last bit: hall %i',
    (seed) => {
      const history = historyOf(seed, 3);
      const alone = TRIED.map((one) => shown(finish(replayHistory(history, one, history.upTo + 1))));
      const together = finish(replayTogether(history, TRIED, history.upTo + 1)).map(shown);
      for (const [place, result] of together.entries()) expect(result).toBe(alone[place]);
      // And over what was found in the runs before, as for a history that is loaded.
      const tape = finish(RunTape.recording(history.plant, history.tracks, history.log, history.upTo));
      const taped = finish(replayTogether({ ...history, tape }, TRIED, history.upTo + 1)).map(shown);
      for (const [place, result] of taped.entries()) expect(result).toBe(alone[place]);
      expect(new Set(alone).size).toBeGreaterThan(3);
    },
    60_000,
  );

  test('are told of one after the other, and the share of the work never falls', () => {
    const history = historyOf(5, 2);
    let [share, done] = [0, 0];
    for (const step of replayTogether(history, TRIED, history.upTo + 1)) {
      const finished = step.done.filter((one) => one !== null).length;
      expect(step.share).toBeGreaterThanOrEqual(share);
      expect(finished).toBeGreaterThanOrEqual(done);
      [share, done] = [step.share, finished];
    }
    expect([share, done]).toEqual([1, TRIED.length]);
  });

  test('can be left at any step', () => {
    const history = historyOf(5, 2);
    const steps = replayTogether(history, TRIED, history.upTo + 1);
    expect(steps.next().done).toBe(false);
    expect(steps.return([]).done).toBe(true);
    expect(steps.next().done).toBe(true);
  });

  test('are replayed one by one where people had a baseline learnt anew', () => {
    const history = historyOf(5, 2);
    const middle = (history.firstTime + history.upTo) / 2;
    const relearnings = [{ gun: history.plant.guns[0]!.id, from: middle, decided: middle, undone: null }];
    const told = { ...history, words: { relearnings, dismissals: [] } };
    const few = TRIED.slice(0, 3);
    const alone = few.map((one) => shown(finish(replayHistory(told, one, told.upTo + 1))));
    expect(finish(replayTogether(told, few, told.upTo + 1)).map(shown)).toEqual(alone);
  });
});

describe('what settings have in common', () => {
  const few = [base, Settings.parse({ smallestChange: 0.1 }), Settings.parse({ smallestChange: 0.1 })];

  test('can be read where they agree, and lets them part where they do not', () => {
    const common = commonTunables(few, 'gun-01', 'p-1', 'pump-insert');
    expect(common.learningRuns).toBe(base.learningRuns);
    expect(() => common.smallestChange).toThrow(Parting);
    expect(sidesOf(() => common.smallestChange)).toEqual([[0], [1, 2]]);
  });

  test('is what they decide alike; those that decide otherwise go on by themselves', () => {
    const bench = stepBench().look(1, 0.1);
    const apart = [1, 2, 3].map((now) => ({ ...bench, now }));
    expect(agree({ ...bench, apart }, ({ now }) => now > 0)).toBe(true);
    expect(sidesOf(() => agree({ ...bench, apart }, ({ now }) => now % 2))).toEqual([[0, 2], [1]]);
    expect(agree(bench, ({ now }) => now)).toBe(bench.now);
  });
});

function sidesOf(work: () => unknown): Parting['sides'] | null {
  try {
    work();
    return null;
  } catch (error) {
    if (error instanceof Parting) return error.sides;
    throw error;
  }
}
