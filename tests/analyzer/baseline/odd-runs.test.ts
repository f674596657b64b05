import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { learnSignals } from '../../../analyzer/baseline/learn-signals.ts';
import { filterLoss } from '../../../analyzer/baseline/motive-line.ts';
import { emptyPumpPool } from '../../../analyzer/baseline/pump-pool.ts';

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
