import { describe, expect, it } from 'vitest';
import {
  filterLoss,
  learnMotiveLine,
  lineGain,
  type MotiveLine,
  newMotiveLine,
  openFilter,
} from '../../../analyzer/baseline/motive-line.ts';
import { logUnitFlow } from '../../../analyzer/baseline/unit-flow.ts';
import { LINE_SMALL } from '../../../analyzer/detect/ramp-rate.ts';

const HOUR = 3_600_000;
const ATMOSPHERE = 1.013;
/** Absolute pressures of three recipes at the tap, bar, and the one that is usual. */
const RECIPES = [2.5, 3.1, 3.9];
const USUAL = 3.1;
const BLOCK_HOURS = 0.13;

/** Blocks [from, to) of a line whose filter takes `missing` of the usual pressure and whose meter reads `high` too much (ln). */
function pass(line: MotiveLine, from: number, to: number, missing: (at: number) => number, high = 0): void {
  for (let at = from; at < to; at++) {
    const shown = RECIPES[(at * at) % 3]!;
    const scatter = 0.003 * (((at * 7) % 5) - 2);
    const flow = logUnitFlow(shown - missing(at) * USUAL, 0.97 * ATMOSPHERE, 0.4);
    learnMotiveLine(line, at * HOUR, BLOCK_HOURS, flow + scatter + high, shown, ATMOSPHERE);
  }
}

/** A line learnt with a filter that already took 14 % of the pressure, and cleaned then. */
function cleaned(): MotiveLine {
  const line = newMotiveLine();
  pass(line, 0, 80, () => 0.14);
  openFilter(line, 0.15);
  pass(line, 80, 160, () => 0.04);
  return line;
}

describe('a line that was learnt with a dirty filter', () => {
  it('passes more once it is cleaned, and no meter is to blame', () => {
    const line = cleaned();
    expect(Math.abs(lineGain(line)!.mean)).toBeLessThan(0.015);
    expect(Math.abs(filterLoss(line)!.mean)).toBeLessThan(0.015);
  });

  it('shows what the clean filter loses, not only what it loses beyond the dirty one', () => {
    const line = cleaned();
    pass(line, 160, 300, (at) => 0.04 + Math.min(0.08, (0.08 * (at - 160)) / 100));
    expect(filterLoss(line)!.mean).toBeGreaterThan(LINE_SMALL.conveying);
    expect(filterLoss(line)!.mean).toBeLessThan(0.11);
  });

  it('does not excuse a meter that had begun to read high before', () => {
    const line = newMotiveLine();
    pass(line, 0, 80, () => 0.04);
    pass(line, 80, 140, () => 0.04, 0.08);
    const before = lineGain(line)!.mean;
    expect(before).toBeGreaterThan(0.04);
    openFilter(line, 0.15);
    pass(line, 140, 200, () => 0.04, 0.08);
    expect(lineGain(line)!.mean).toBeGreaterThan(0.04);
  });

  it('is sound where a sound filter is changed', () => {
    const line = newMotiveLine();
    pass(line, 0, 80, () => 0.04);
    openFilter(line, 0.15);
    pass(line, 80, 160, () => 0.04);
    expect(Math.abs(filterLoss(line)!.mean)).toBeLessThan(0.01);
    expect(line.clean).toBe(0);
  });
});
