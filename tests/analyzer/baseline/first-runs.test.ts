import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { learnRun } from '../../../analyzer/baseline/learn-run.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { RUN_FIELDS, type RunTable } from '../../../collector/contract/index.ts';

const START = Date.UTC(2026, 2, 2, 6);
type Field = (typeof RUN_FIELDS)[number];

/** Pulls of 20 s, one a minute, at 2 m3/h and 150 g/min, on sensors with these zeros; `idle` readings in each pause. */
function pulls(
  count: number,
  zero: { flow?: number; output?: number },
  idle = 4,
  odd: (pull: number) => Partial<Record<Field, number>> = () => ({}),
): RunTable {
  const runs = new GrowingRuns('gun-01');
  const powder = runs.powderIndex('p-1');
  for (let pull = 0; pull < count; pull++) {
    const start = START + pull * 60_000;
    const values: Partial<Record<Field, number>> = {
      ...{ start, end: start + 20_000, sprayMs: 20_000, samples: 8, powder, conveyingPressure: 1.5 },
      ...{ conveyingFlow: 2 + (zero.flow ?? 0), output: 150 + (zero.output ?? 0) },
      ...{ idleSamples: pull === 0 ? 0 : idle, zeroConveyingPressure: 0 },
      ...{ zeroConveyingFlow: pull === 0 ? Number.NaN : (zero.flow ?? 0) },
      ...{ zeroOutput: pull === 0 ? Number.NaN : (zero.output ?? 0), conveyingFlowSpread: 0.01 },
      ...odd(pull),
    };
    runs.push(Float64Array.from(RUN_FIELDS, (field) => values[field] ?? Number.NaN));
  }
  return runs.table();
}

function blocksOf(table: RunTable): Block[] {
  const memory = newGunMemory('gun-01', 'value');
  const closed: Block[] = [];
  for (let row = 0; row < table.length; row++) learnRun(memory, table, row, 1.013, true, closed);
  return closed;
}

describe('the first runs of a gun', () => {
  it.each([
    ['flow', { flow: -0.3 }],
    ['output', { output: 40 }],
  ])('teach nothing while the zero of the %s, which is off, is not known yet', (_, zero) => {
    const blocks = blocksOf(pulls(120, zero));
    expect(blocks.length).toBeGreaterThan(2);
    for (const { flow, output } of blocks) {
      expect(Math.exp(flow)).toBeCloseTo(2, 2);
      expect(Math.exp(output)).toBeCloseTo(150, 0);
    }
  });

  it('teach where nothing is read between pulls', () => {
    const blocks = blocksOf(pulls(60, {}, 0));
    expect(blocks[0]!.start).toBeLessThan(START + 30 * 60_000);
    expect(blocks.reduce((sum, { runs }) => sum + runs, 0)).toBeGreaterThan(20);
  });
});

describe('glitches of a flow meter', () => {
  it.each([
    ['one of two readings', { samples: 2, conveyingFlow: 4, conveyingFlowSpread: 2.97 }],
    ['the only reading', { samples: 1, conveyingFlow: 49, conveyingFlowSpread: 0 }],
  ])('teach nothing where they are %s of a pull', (_, glitch) => {
    const blocks = blocksOf(pulls(240, {}, 4, (pull) => (pull % 10 === 5 ? glitch : {})));
    expect(blocks.length).toBeGreaterThan(5);
    for (const { flow } of blocks) expect(Math.exp(flow)).toBeCloseTo(2, 2);
  });

  it('are no zero where single pauses show them', () => {
    const blocks = blocksOf(pulls(240, {}, 4, (pull) => (pull % 15 === 7 ? { zeroConveyingFlow: 24.5 } : {})));
    expect(blocks.length).toBeGreaterThan(5);
    for (const { flow } of blocks) expect(Math.exp(flow)).toBeCloseTo(2, 1);
  });
});
