import { describe, expect, it } from 'vitest';
import { filterLoss, learnMotiveLine, newMotiveLine, openMeter } from '../../../analyzer/baseline/motive-line.ts';

const HOUR = 3_600_000;
const ATMOSPHERE = 1.013;
/** Absolute pressures of some recipes, bar: all choked at a critical ratio of 0.4. */
const RECIPES = [2.6, 3.2, 2.8, 3.6];

/** Choked nozzle of 0.3 dm3/(s bar): its flow in m3/h DIN 1343 (ISO 6358-1, and handbook's 1.0874 to ANR). */
const flowAt = (pressureBar: number): number => (0.3 * pressureBar * 3.6) / 1.0874;

/** A line that came to pass less in 40 spray hours, by a flow meter that reads low by up to 9 % or a filter that takes up to as much of the usual pressure, and whose flow meter is exchanged then. */
function exchanged(cause: 'meter' | 'filter') {
  const line = newMotiveLine();
  let time = 0;
  const spray = (hours: number, meterAt: (share: number) => number, filterAt: (share: number) => number): void => {
    for (let hour = 0; hour < hours; hour += 0.5) {
      time += HOUR;
      const pressure = RECIPES[Math.round(hour * 2) % RECIPES.length]!;
      const passes = flowAt(pressure - filterAt(hour / hours) * RECIPES[0]!) * (1 - meterAt(hour / hours));
      learnMotiveLine(line, time, 0.5, Math.log(passes), pressure, ATMOSPHERE);
    }
  };
  const lost = cause === 'filter' ? 0.09 : 0;
  const low = cause === 'meter' ? 0.09 : 0;
  spray(
    20,
    () => 0,
    () => 0,
  );
  spray(
    40,
    (share) => low * share,
    (share) => lost * share,
  );
  const before = filterLoss(line)!.mean;
  openMeter(line);
  spray(
    6,
    () => 0,
    () => lost,
  );
  return { before, after: filterLoss(line)!.mean };
}

describe('an exchanged flow meter', () => {
  it('takes what the old one had drifted with it', () => {
    const { before, after } = exchanged('meter');
    expect(before).toBeGreaterThan(0.05);
    expect(after).toBeLessThan(0.3 * before);
  });

  it('leaves the loss to the filter when the line passes no more than before', () => {
    const { before, after } = exchanged('filter');
    expect(after).toBeGreaterThan(0.7 * before);
  });
});
