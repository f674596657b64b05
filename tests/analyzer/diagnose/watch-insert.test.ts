import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { movedAlike } from '../../../analyzer/diagnose/moved-alike.ts';
import { watchInsert } from '../../../analyzer/diagnose/watch-insert.ts';
import { START, stepBench } from './step-bench.ts';

/** A gun that had lost 0.2 (ln of output) and gives so much more since its chart of gains stood at nought. */
function gaining(gain: number, deviations: number) {
  const made = stepBench();
  const bench = made.look(0, 0);
  const gun = bench.pool.guns['gun-01']!;
  gun.calm = { mean: new Float64Array(bench.pool.gaussian.mean), lost: 0.2, lostSd: 0.03, leak: 0 };
  const information = (deviations / gain) ** 2;
  Object.assign(bench.pool.gaussian.traces[gun.gain]!, { active: true, information, score: -gain * information });
  return { bench, gun };
}

const block = { powder: 'p-1', start: START } as Block;

describe('a gain before its chart is sure of it', () => {
  it('is gathered from the first block of it where it is what the insert had lost', () => {
    const { bench, gun } = gaining(0.2, 5);
    watchInsert(bench, block, START - 7);
    expect(gun.watch).toMatchObject({ onset: START - 7, lost: 0.2, gain: 0, hours: 0 });
  });

  it('is not where it hardly shows, is as likely a lot, or nobody reads the powder', () => {
    const few = gaining(0.2, 3.5);
    watchInsert(few.bench, block, null);
    expect(few.gun.watch).toBeNull();
    const small = gaining(0.1, 5);
    watchInsert(small.bench, block, null);
    expect(small.gun.watch).toBeNull();
    const unread = gaining(0.2, 5);
    watchInsert(unread.bench, { ...block, powder: '' }, null);
    expect(unread.gun.watch).toBeNull();
  });

  it('is not where the others with that powder moved as well', () => {
    const { bench, gun } = gaining(0.2, 5);
    const other = newGunMemory('gun-02', 'value');
    Object.assign(other, { powder: 'p-1', lastEnd: bench.now - 1 });
    other.steps.output.up = 5;
    const both = { ...bench, guns: { ...bench.guns, 'gun-02': other } };
    both.pool.guns['gun-02'] = structuredClone(gun);
    expect(movedAlike(both, true)).toEqual(['gun-02']);
    expect(movedAlike(both, false)).toEqual([]);
    watchInsert(both, block, null);
    expect(gun.watch).toBeNull();
    // One that gave the same for hours has stopped.
    other.lastEnd = bench.now - 3 * 3_600_000;
    expect(movedAlike(both, true)).toEqual([]);
    watchInsert(both, block, null);
    expect(gun.watch).toMatchObject({ onset: START });
  });
});
