import { describe, expect, it } from 'vitest';
import { addRun } from '../../../analyzer/baseline/add-run.ts';
import { type Block, finishBlock, isScalePull } from '../../../analyzer/baseline/block.ts';
import { newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { learnSignals } from '../../../analyzer/baseline/learn-signals.ts';
import { filterLoss } from '../../../analyzer/baseline/motive-line.ts';
import type { OpenBlock } from '../../../analyzer/baseline/open-block.ts';
import { emptyPumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { driftOf, openToStep } from '../../../analyzer/baseline/steady-level.ts';
import { RUN_FIELDS, type RunTable } from '../../../collector/contract/index.ts';

const START = Date.UTC(2026, 2, 2, 6);

/** A block of runs at a pressure, with this much of the flow that a choked nozzle passes there. */
const blockAt = (at: number, pressure: number, share: number, runs: number): Block =>
  ({
    ...{ gun: 'gun-01', powder: 'p-1', start: START + at * 900_000, end: START + at * 900_000 + 600_000, runs },
    ...{ minutes: runs / 3, kilograms: 0, output: Number.NaN, outputVariance: Number.NaN, unsteadiness: Number.NaN },
    ...{ flow: Math.log(0.8 * pressure * share), pressure, ripple: Number.NaN, rippleVariance: Number.NaN },
    ...{ supplementary: Number.NaN, supplementaryPressure: Number.NaN, fluidizing: Number.NaN },
    ...{ fluidizingPressure: Number.NaN, supply: Number.NaN, sag: Number.NaN, sagRuns: 0 },
  }) as Block;

describe('a conveying line', () => {
  it('learns no clogged filter from single runs that were read while the air was on its way', () => {
    const memory = newGunMemory('gun-01', 'value');
    const pool = emptyPumpPool();
    for (let at = 0; at < 200; at++) {
      learnSignals(memory, pool, blockAt(at, 2.6 + 0.2 * (at % 3), 1, 20), 1.013, 'measured');
      // One run a setting higher: flow from before, pressure from after.
      learnSignals(memory, pool, blockAt(at, 2.8 + 0.2 * (at % 3), 0.93, 1), 1.013, 'measured');
    }
    expect(Math.abs(filterLoss(memory.conveying)!.mean)).toBeLessThan(0.01);
    expect(memory.conveying.blocks).toBe(200);
  });
});

/** What a block tells that holds runs with so many steady readings each, at an ln ripple; `pressures` by run, the last of all that follow. */
function blockOf(
  at: number,
  lnRipple: number,
  samples: readonly number[],
  pressures = [1.4],
  output = Number.NaN,
): Block {
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [field, new Float64Array(samples.length).fill(Number.NaN)]),
  ) as RunTable['columns'];
  const table: RunTable = { gun: 'gun-01', length: samples.length, columns, powders: ['p-1'] };
  const open: OpenBlock[] = [];
  const zeros = { conveyingFlow: 0, conveyingPressure: 0, supplementaryFlow: 0, output: 0 };
  for (const [row, readings] of samples.entries()) {
    columns.start[row] = START + at * 900_000 + row * 20_000;
    columns.end[row] = columns.start[row]! + 15_000;
    columns.sprayMs[row] = 15_000;
    columns.samples[row] = readings;
    columns.conveyingFlow[row] = 2;
    columns.conveyingPressure[row] = pressures[Math.min(row, pressures.length - 1)]!;
    columns.ripple[row] = Math.exp(lnRipple);
    addRun('gun-01', open, table, row, 'p-1', 'value', zeros, output, 1.013);
  }
  return finishBlock('gun-01', open[0]!);
}

describe('ripple', () => {
  const learnt = (odd: Block): number => {
    const memory = newGunMemory('gun-01', 'value');
    const pool = emptyPumpPool();
    const usual = Array.from({ length: 12 }, () => 1);
    for (let at = 0; at < 20; at++) learnSignals(memory, pool, blockOf(at, -4.4, usual), 1.013, 'setpoint');
    // What a chart noticed may be a leak: ripple may jump.
    openToStep(memory.ripple, 0.8);
    learnSignals(memory, pool, odd, 1.013, 'setpoint');
    return driftOf(memory.ripple)!.mean;
  };

  it('of one or two readings, which may be those of a start, shows no leak', () => {
    expect(learnt(blockOf(20, -3.2, [1]))).toBeCloseTo(0, 3);
    expect(learnt(blockOf(20, -3.2, [1, 1]))).toBeCloseTo(0, 3);
  });

  it('of more readings does, whether one run or several were read', () => {
    expect(learnt(blockOf(20, -3.2, [3]))).toBeGreaterThan(1);
    expect(learnt(blockOf(20, -3.2, [1, 1, 1]))).toBeGreaterThan(1);
  });
});

describe('a gun whose conveying pressure is not read', () => {
  const unread = blockOf(0, -4.4, [5, 5, 5], [Number.NaN], 150);

  it('is judged by flow and output, and its insert wears', () => {
    const memory = newGunMemory('gun-01', 'value');
    const pool = emptyPumpPool();
    learnSignals(memory, pool, unread, 1.013, 'measured');
    expect(pool.measuredBlocks).toBe(1);
    expect(memory.insert.kilograms).toBeCloseTo(3 * 0.25 * 0.15, 6);
    expect(memory.conveying.blocks).toBe(0);
  });

  it('is not taken for pulls that a scale tells together', () => {
    expect(isScalePull(unread)).toBe(false);
    expect(isScalePull(blockOf(0, -4.4, [5, 5, 5], [Number.NaN]))).toBe(false);
    expect(isScalePull({ ...unread, kilograms: 0 })).toBe(true);
  });

  it('has the pressure of those runs that show one', () => {
    expect(blockOf(0, -4.4, [5, 5, 5], [1.4, Number.NaN, 1.6]).pressure).toBeCloseTo(1.5 + 1.013, 9);
    expect(unread.pressure).toBeNaN();
  });

  it('is not judged by a gauge that shows less than no pressure', () => {
    expect(() => blockOf(0, -4.4, [5], [-0.2])).toThrow();
  });
});
