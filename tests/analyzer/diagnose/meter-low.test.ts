import { describe, expect, it } from 'vitest';
import { resetQuantity } from '../../../analyzer/baseline/gaussian-state.ts';
import { learnMotiveLine } from '../../../analyzer/baseline/motive-line.ts';
import { judgeLines } from '../../../analyzer/diagnose/judge-lines.ts';
import { START, stepBench } from './step-bench.ts';

const FILTER = 2;
const HOUR = 3_600_000;

/** A gun whose conveying line passes less by `loss` of its pressure, while its output for the air that is read rose by `gain` (ln). */
function line(loss: number, gain: number, changed = false) {
  const stand = stepBench();
  const { memory } = stand;
  memory.step = null;
  for (let at = 0; at < 20; at++) learnMotiveLine(memory.conveying, START + at * HOUR, 0.4, Math.log(2.1), 2.5, 1.013);
  const bench = stand.look(0, 0);
  const { gaussian } = bench.pool;
  const pump = bench.pool.guns['gun-01']!;
  const set = (share: number): void => resetQuantity(memory.conveying.gaussian, FILTER, share, 0.004 ** 2);
  set(0);
  judgeLines(bench);
  if (changed) memory.insert = { ...memory.insert, since: START + 30 * HOUR };
  gaussian.mean[pump.level] = gaussian.mean[pump.level]! + gain;
  set(loss);
  judgeLines(bench);
  memory.sprayHours += 2;
  judgeLines({ ...bench, now: bench.now + 8 * HOUR });
  return stand.told.map(({ cause, category, candidates, evidence }) => ({ cause, category, candidates, evidence }));
}

describe('a conveying line that passes less', () => {
  it('is the flow meter’s when the output for the air that is read rose as much, and a function check', () => {
    const [told] = line(0.08, 0.16);
    expect(told).toMatchObject({ cause: 'sensor:conveying/flow', category: 'function-check' });
    expect(told!.evidence.join(' ')).toContain('no pump gets better');
    expect(told!.candidates.reduce((sum, { probability }) => sum + probability, 0)).toBeLessThanOrEqual(1);
    expect(told!.candidates[0]!.probability).toBeGreaterThan(0.8);
  });

  it.each([
    ['as before', 0],
    ['a little better', 0.04],
    ['less, as its insert wore', -0.1],
  ])('is the filter’s when the pump gives %s', (_, gain) => {
    const [told] = line(0.08, gain);
    expect(told).toMatchObject({ cause: 'conveying-filter', category: 'maintenance-required' });
    expect(told!.candidates.map(({ cause }) => cause)).toContain('sensor:conveying/pressure');
  });

  it('is the filter’s when a new insert made the pump better meanwhile', () => {
    expect(line(0.08, 0.16, true)[0]).toMatchObject({ cause: 'conveying-filter' });
  });

  it('is told of no sooner than before', () => {
    expect(line(0.03, 0.16)).toEqual([]);
  });
});
