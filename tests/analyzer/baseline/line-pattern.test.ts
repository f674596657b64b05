import { describe, expect, it } from 'vitest';
import { PATTERN_OF, patternOdds } from '../../../analyzer/baseline/line-pattern.ts';
import { learnMotiveLine, newMotiveLine, openFilter } from '../../../analyzer/baseline/motive-line.ts';
import { logUnitFlow } from '../../../analyzer/baseline/unit-flow.ts';

const HOUR = 3_600_000;
const ATMOSPHERE = 1.013;
/** Absolute pressures of three recipes at the tap, bar: choked at b = 0.4. */
const RECIPES = [2.5, 3.1, 3.9];
const USUAL = 3.1;

/** A line at three recipes, sound for 40 blocks and then losing `share` of the usual pressure slowly, by what has lost it. */
function lineOf(cause: keyof typeof PATTERN_OF | 'nothing', share: number) {
  const line = newMotiveLine();
  for (let at = 0; at < 200; at++) {
    const shown = RECIPES[(at * at) % 3]!;
    const lost = cause === 'nothing' ? 0 : share * Math.max(0, Math.min(1, (at - 40) / 120));
    const missing =
      cause === 'filter'
        ? lost * USUAL
        : cause === 'gauge'
          ? ((shown - ATMOSPHERE) / (USUAL - ATMOSPHERE)) * lost * USUAL
          : 0;
    const scatter = 0.003 * (((at * 7) % 5) - 2);
    const flow =
      logUnitFlow(0.96 * shown - missing, 0.97 * ATMOSPHERE, 0.4) + (cause === 'meter' ? Math.log1p(-lost) : 0);
    learnMotiveLine(line, at * HOUR, 0.13, flow + scatter, shown, ATMOSPHERE);
  }
  return line;
}

describe('how the loss of a conveying line goes with its pressure', () => {
  it.each(['filter', 'meter', 'gauge'] as const)('speaks for the %s that has lost it', (cause) => {
    const odds = patternOdds(lineOf(cause, 0.12).pattern);
    expect(odds[PATTERN_OF[cause]]).toBe(1);
    const against =
      cause === 'filter' ? Math.max(odds[PATTERN_OF.meter], odds[PATTERN_OF.gauge]) : odds[PATTERN_OF.filter];
    expect(against).toBeLessThan(0.5);
  });

  it('says nothing while nothing is lost, and nothing of an element that was changed', () => {
    expect(patternOdds(lineOf('nothing', 0).pattern)).toEqual([1, 1, 1]);
    const line = lineOf('filter', 0.12);
    openFilter(line, 0.15);
    expect(patternOdds(line.pattern)).toEqual([1, 1, 1]);
  });
});
