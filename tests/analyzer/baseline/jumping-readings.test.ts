import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { isJumping, newJumpingReadings } from '../../../analyzer/baseline/jumping-readings.ts';
import { learnRun } from '../../../analyzer/baseline/learn-run.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { RUN_FIELDS } from '../../../collector/contract/index.ts';

const START = Date.UTC(2026, 2, 2, 6);

interface Spread {
  readonly flow?: number;
  readonly pressure?: number;
  readonly output?: number;
}

/** What is learnt of pulls, one a minute, at 2 m3/h, 1.5 bar and 150 g/min; every third is too short to show a spread. */
function learnt(spreads: readonly Spread[], measured = true) {
  const runs = new GrowingRuns('gun-01');
  const powder = runs.powderIndex('p-1');
  for (const [pull, spread] of spreads.entries()) {
    const short = pull % 3 === 0;
    const start = START + pull * 60_000;
    const values: Partial<Record<(typeof RUN_FIELDS)[number], number>> = {
      ...{ start, end: start + 20_000, sprayMs: 20_000, powder, samples: short ? 1 : 8 },
      ...{ conveyingFlow: 2, conveyingPressure: 1.5, output: 150 },
      conveyingFlowSpread: short ? 0 : 2 * (spread.flow ?? 0.01),
      conveyingPressureSpread: short ? 0 : 1.5 * (spread.pressure ?? 0.01),
      outputSpread: short ? 0 : 150 * (spread.output ?? 0.07),
      ...{ idleSamples: 4, zeroConveyingFlow: 0, zeroConveyingPressure: 0, zeroOutput: 0 },
    };
    runs.push(Float64Array.from(RUN_FIELDS, (field) => values[field] ?? Number.NaN));
  }
  const table = runs.table();
  const memory = newGunMemory('gun-01', 'value');
  const closed: Block[] = [];
  for (let row = 0; row < table.length; row++) learnRun(memory, table, row, 1.013, measured, closed);
  return { memory, late: closed.filter(({ start }) => start > START + 60 * 60_000) };
}

const times = (count: number, spread: Spread): Spread[] => Array.from({ length: count }, () => spread);

describe('readings that jump about within pulls', () => {
  it.each([
    ['flow', { flow: 0.3 }],
    ['pressure', { pressure: 0.3 }],
  ] as const)('of %s teach nothing, nor do the short pulls between', (field, spread) => {
    const { memory, late } = learnt(times(180, spread));
    expect(isJumping(memory.jumps, field)).toBe(true);
    expect(late).toEqual([]);
  });

  it('of the output leave what the air alone tells', () => {
    const { late } = learnt(times(180, { output: 0.5 }));
    expect(late.length).toBeGreaterThan(1);
    for (const block of late) {
      expect(block.output).toBeNaN();
      expect(block.pressure).toBeCloseTo(2.513, 3);
    }
  });

  it('within the scatter of a sound sensor are taken as they are', () => {
    const { memory, late } = learnt(times(180, { flow: 0.24, pressure: 0.24, output: 0.34 }));
    for (const field of ['flow', 'pressure', 'output'] as const) expect(isJumping(memory.jumps, field)).toBe(false);
    expect(late.length).toBeGreaterThan(1);
    for (const block of late) expect(Math.exp(block.output)).toBeCloseTo(150, 0);
  });

  it('now and then are single pulls, not the sensor', () => {
    const every = (n: number): Spread[] =>
      Array.from({ length: 300 }, (_, pull) => (pull % n === 1 ? { flow: 1 } : {}));
    expect(isJumping(learnt(every(6)).memory.jumps, 'flow')).toBe(false);
  });

  it('are forgotten once the sensor is sound again', () => {
    const { memory } = learnt([...times(100, { flow: 1 }), ...times(150, {})]);
    expect(isJumping(memory.jumps, 'flow')).toBe(false);
  });

  it('are not spoken of before some twenty pulls', () => {
    const jumps = { ...newJumpingReadings(), flow: 1 };
    expect(isJumping({ ...jumps, runs: 19 }, 'flow')).toBe(false);
    expect(isJumping({ ...jumps, runs: 20 }, 'flow')).toBe(true);
    expect(isJumping({ ...jumps, runs: 20, flow: 0.5 }, 'flow')).toBe(false);
  });
});
