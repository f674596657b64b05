import { afterAll, describe, expect, test } from 'vitest';
import { finish, gridOf, SecondThread, type Study, studyAll, studyOnTwo } from '../../../analyzer/index.ts';
import { partsOf } from '../../../analyzer/study/study-on-two.ts';
import { Settings } from '../../../collector/contract/index.ts';
import { historyOf } from './history-of.ts';

const base = Settings.parse({});
/** Two of the curve's five levels of false alarms, and two values of the change beside them. */
const TRIED = gridOf(base).filter((_, place) => place % 5 < 2 && place < 15);
const shown = (studies: readonly Study[]): string =>
  JSON.stringify(studies, (_, value: unknown) => (value instanceof Map ? [...value] : value));

describe('settings tried on two threads', () => {
  const second = new SecondThread();
  afterAll(() => second.stop());

  test('find what one thread finds, to the last bit, and tell how far both have come', async () => {
    const history = historyOf(5, 2);
    const span = { from: history.firstTime, to: history.upTo + 1 };
    let share = 0;
    const steps = studyOnTwo(second, history, TRIED, span);
    let step = await steps.next();
    for (; !step.done; step = await steps.next()) {
      expect(step.value.share).toBeGreaterThanOrEqual(share);
      share = step.value.share;
    }
    expect(share).toBe(1);
    expect(shown(step.value)).toBe(shown(finish(studyAll(history, TRIED, span))));
    // What is left half way is given up on both sides: the next question does not wait for it.
    const left = studyOnTwo(second, second.handOver(history), TRIED, span);
    await left.next();
    await left.return([]);
    const again = studyOnTwo(second, second.handOver(history), TRIED.slice(1), span);
    for (step = await again.next(); !step.done; ) step = await again.next();
    expect(step.value).toHaveLength(TRIED.length - 1);
  }, 60_000);

  test('are shared out by the false alarms that they accept, each to one of the two', () => {
    const [own, others] = partsOf(gridOf(base));
    expect([own.length, others.length]).toEqual([15, 10]);
    expect([...own, ...others].sort((left, right) => left - right)).toEqual(gridOf(base).map((_, place) => place));
    const alarms = (places: readonly number[]): Set<number> =>
      new Set(places.map((place) => gridOf(base)[place]!.falseAlarmsPerGunYear));
    expect([...alarms(own)].filter((level) => alarms(others).has(level))).toEqual([]);
    // One kind of settings stays with who asks.
    expect(partsOf([base, { ...base, changeLimitExcessAir: 0.1 }])).toEqual([[0, 1], []]);
  });

  test('are tried on one thread on a machine with one processor', () => {
    expect(SecondThread.where(1)).toBeNull();
    expect(SecondThread.where(2)).toBeInstanceOf(SecondThread);
  });
});
