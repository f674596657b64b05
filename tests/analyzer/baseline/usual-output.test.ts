import { describe, expect, it } from 'vitest';
import { countOutput, newUsualOutput, usualOutput } from '../../../analyzer/baseline/usual-output.ts';

/** Usual output, g/min, after so many hours at each output. */
function usualAfter(...spells: readonly [outputGmin: number, hours: number][]): number | null {
  const usual = newUsualOutput();
  for (const [outputGmin, hours] of spells)
    for (let left = hours; left > 1e-9; left -= 0.1) countOutput(usual, Math.log(outputGmin), Math.min(0.1, left));
  const middle = usualOutput(usual);
  return middle === null ? null : Math.exp(middle);
}

describe('the usual output of a gun', () => {
  it('is unknown before anything was sprayed', () => {
    expect(usualAfter()).toBeNull();
  });

  it('is the output where there is but one, to two per cent', () => {
    expect(Math.abs(usualAfter([180, 5])! / 180 - 1)).toBeLessThan(0.02);
  });

  it('is the one that was sprayed for most of the time, not the mean of all', () => {
    expect(Math.abs(usualAfter([300, 2], [150, 3])! / 150 - 1)).toBeLessThan(0.03);
  });

  // Source: contract section 6, the median of the last 40 spray hours: 13 h of another recipe are less than half of them.
  it('stays with the recipe of most of the last 40 spray hours', () => {
    expect(Math.abs(usualAfter([150, 60], [300, 13])! / 150 - 1)).toBeLessThan(0.03);
  });

  it('follows to a new recipe once it has been sprayed for most of the last 40 spray hours', () => {
    expect(Math.abs(usualAfter([150, 60], [300, 25])! / 300 - 1)).toBeLessThan(0.03);
  });

  it('has forgotten an old recipe after 200 spray hours', () => {
    expect(Math.abs(usualAfter([150, 400], [300, 200])! / 300 - 1)).toBeLessThan(0.02);
  });
});
