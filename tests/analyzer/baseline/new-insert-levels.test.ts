import { describe, expect, it } from 'vitest';
import { LEVEL_STEP, LEVELS, REACH } from '../../../analyzer/baseline/level-grid.ts';
import { gatherLevel, movedBy, newInsertLevels } from '../../../analyzer/baseline/new-insert-levels.ts';

const seenAt = (...levels: number[]): number[] => {
  const seen = new Array<number>(LEVELS).fill(0);
  for (const level of levels) seen[REACH + Math.round(level / LEVEL_STEP)]! += 10;
  return seen;
};
const showing = (wear: number, ...levels: number[]) => {
  const state = newInsertLevels(wear);
  for (const level of levels) gatherLevel(state, level, 0.5, true);
  return state;
};

describe('levels of a gun behind a change of its insert', () => {
  it('have moved by the mean of a normal belief and of what one known powder shows', () => {
    // Conjugate normal: prior 0 ± √(0.06² + (0.35·0.4)²) = 0.152, seen −0.14 ± 0.04: −0.14 · 0.152² / (0.152² + 0.04²) = −0.131, nearer to 0 by the chance of a new powder.
    const moved = movedBy(showing(0.4, -0.14), seenAt(0), false);
    expect(moved).toBeGreaterThan(-0.131);
    expect(moved).toBeLessThan(-0.11);
  });

  it('have moved alike, whichever powders come round', () => {
    const seen = seenAt(0, 0.12, -0.1);
    expect(movedBy(showing(0.4, -0.14, -0.02, -0.24), seen, false)).toBeCloseTo(-0.14, 1);
    // A powder that is known to give less is no move.
    expect(Math.abs(movedBy(showing(0.4, 0, -0.1, 0.12), seen, false))).toBeLessThan(0.02);
  });

  it('hardly move where the old insert had lost little, and not where nothing was seen before', () => {
    expect(Math.abs(movedBy(showing(0, -0.2), seenAt(0), true))).toBeLessThan(0.11);
    expect(movedBy(showing(0.4, -0.2), seenAt(), false)).toBe(0);
  });

  it('are told after two spray hours, a stretch of work counting once', () => {
    const state = newInsertLevels(0.3);
    expect(gatherLevel(state, -0.1, 1, true)).toBe(false);
    expect(gatherLevel(state, -0.2, 1.1, false)).toBe(true);
    expect(state.stretches).toEqual([{ level: expect.closeTo(-0.15, 12), blocks: 2 }]);
  });
});
