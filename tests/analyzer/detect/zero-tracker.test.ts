import { describe, expect, it } from 'vitest';
import {
  isAnyOff,
  isOff,
  learnZeros,
  newZeroTracker,
  packZeros,
  unpackZeros,
  ZERO_FIELDS,
  type ZeroTracker,
  zeroOf,
} from '../../../analyzer/detect/zero-tracker.ts';
import type { RunTable } from '../../../collector/contract/index.ts';

const MINUTE = 60_000;

/** Idle times ten minutes apart, from the `from`th on, in which conveying flow reads these, m3/h. */
function idle(
  tracker: ZeroTracker,
  from: number,
  flows: readonly number[],
  pressures = flows.map(() => Number.NaN),
): void {
  const none = flows.map(() => Number.NaN);
  const columns = {
    start: flows.map((_, i) => (from + i) * 10 * MINUTE),
    idleSamples: flows.map(() => 3),
    zeroConveyingFlow: flows,
    ...{
      zeroConveyingPressure: pressures,
      zeroSupplementaryFlow: none,
      zeroSupplementaryPressure: none,
      zeroOutput: none,
    },
  };
  const table = { columns } as unknown as RunTable;
  for (let row = 0; row < flows.length; row++) learnZeros(tracker, table, row, true);
}

const steady = (count: number, about: number): number[] =>
  Array.from({ length: count }, (_, i) => about + 0.004 * (((i * 3) % 5) - 2));

describe('the zero of a sensor', () => {
  it('that jumps is taken off after five idle times, and told within the hour from the first of them', () => {
    const tracker = newZeroTracker();
    idle(tracker, 0, steady(40, 0));
    idle(tracker, 40, steady(4, 0.1));
    expect(zeroOf(tracker, 'conveyingFlow')).toBeLessThan(0.03);
    idle(tracker, 44, steady(1, 0.1));
    expect(zeroOf(tracker, 'conveyingFlow')).toBeCloseTo(0.1, 2);
    expect(tracker.conveyingFlow.since).toBe(400 * MINUTE);
    expect(isOff(tracker, 'conveyingFlow', 459 * MINUTE)).toBe(false);
    expect(isOff(tracker, 'conveyingFlow', 460 * MINUTE)).toBe(true);
  });

  it('is not what a valve behind the tap holds, and a flow meter beside it has its own', () => {
    const tracker = newZeroTracker();
    idle(tracker, 0, steady(40, 0), steady(40, 1.4));
    idle(tracker, 40, steady(20, 0.12), steady(20, 1.4));
    expect(zeroOf(tracker, 'conveyingPressure')).toBe(0);
    expect(isOff(tracker, 'conveyingPressure', 2000 * MINUTE)).toBe(false);
    expect(zeroOf(tracker, 'conveyingFlow')).toBeCloseTo(0.12, 2);
    expect(isOff(tracker, 'conveyingFlow', 2000 * MINUTE)).toBe(true);
  });

  it('is not moved by readings that lie off now and then', () => {
    const tracker = newZeroTracker();
    const glitches = steady(120, 0).map((flow, i) => (i % 6 < 2 && i > 20 ? flow + 0.3 : flow));
    idle(tracker, 0, glitches);
    expect(tracker.conveyingFlow.since).toBe(0);
    expect(isOff(tracker, 'conveyingFlow', 1300 * MINUTE)).toBe(false);
  });

  it('is not moved by air that is still on its way out of the line, at slow sampling', () => {
    const tracker = newZeroTracker();
    idle(tracker, 0, steady(40, 0), steady(40, 0));
    idle(tracker, 40, steady(7, 0.3), steady(7, 0.18));
    expect(tracker.conveyingFlow.run).toBe(0);
    expect(zeroOf(tracker, 'conveyingFlow')).toBeLessThan(0.1);
  });

  it('is not moved by what lies off on either side', () => {
    const tracker = newZeroTracker();
    idle(tracker, 0, steady(40, 0));
    idle(
      tracker,
      40,
      steady(20, 0).map((flow, i) => flow + (i % 2 === 0 ? 0.05 : -0.05)),
    );
    expect(Math.abs(zeroOf(tracker, 'conveyingFlow'))).toBeLessThan(0.02);
  });

  it('is back after as few', () => {
    const tracker = newZeroTracker();
    idle(tracker, 0, [...steady(20, 0), ...steady(30, 0.12)]);
    expect(isOff(tracker, 'conveyingFlow', 500 * MINUTE)).toBe(true);
    idle(tracker, 50, steady(5, 0));
    expect(isOff(tracker, 'conveyingFlow', 560 * MINUTE)).toBe(false);
    expect(zeroOf(tracker, 'conveyingFlow')).toBeCloseTo(0, 2);
  });

  it('is off from the idle time on that is beyond the tolerance, on any channel, and for no longer than that', () => {
    const tracker = newZeroTracker();
    idle(tracker, 0, steady(20, 0));
    expect(isAnyOff(tracker)).toBe(false);
    idle(tracker, 20, steady(20, 0.1));
    expect(isAnyOff(tracker)).toBe(true);
    idle(tracker, 40, steady(20, 0));
    expect(isAnyOff(tracker)).toBe(false);
  });

  it('goes on from its numbers as if it had not been written down', () => {
    const [one, other] = [newZeroTracker(), newZeroTracker()];
    idle(one, 0, [...steady(20, 0), ...steady(3, 0.1)]);
    const numbers: number[] = [];
    packZeros(one, numbers);
    expect(numbers).toHaveLength(ZERO_FIELDS.length * Object.keys(one.output).length);
    unpackZeros(other, Float64Array.from(numbers), 0);
    for (const tracker of [one, other]) idle(tracker, 23, steady(3, 0.1));
    expect(other).toEqual(one);
  });
});
