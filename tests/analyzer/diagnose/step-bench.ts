import type { Block } from '../../../analyzer/baseline/block.ts';
import { resetQuantity } from '../../../analyzer/baseline/gaussian-state.ts';
import { newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { SIGNALS } from '../../../analyzer/baseline/learn-signals.ts';
import { emptyPumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { learnSteadyLevel } from '../../../analyzer/baseline/steady-level.ts';
import type { StepCase } from '../../../analyzer/baseline/step-case.ts';
import { emptyBook } from '../../../analyzer/diagnose/finding-book.ts';
import type { Bench } from '../../../analyzer/diagnose/site-view.ts';
import { newStepCase } from '../../../analyzer/diagnose/step-case.ts';
import { type Finding, Plant, Settings, settingsFor } from '../../../collector/contract/index.ts';

export const START = Date.UTC(2026, 2, 2, 6);
const HOUR = 3_600_000;

/** A gun in the midst of a step, as the filter believes it: what each look shows is set by hand. */
export interface StepBench {
  readonly told: Finding[];
  readonly memory: Bench['memory'];
  readonly book: Bench['book'];
  /** The bench after some more spray hours, with this loss (ln output) and rise of ripple (ln). */
  look(hours: number, loss: number, ripple?: number, lossSd?: number): Bench;
}

/** A gun of measured output that has sprayed for 20 hours and whose step began at the start. */
export function stepBench(step: Partial<StepCase> = {}, settings: object = {}, ripple = true): StepBench {
  const plant = Plant.parse({
    site: { id: 'hall-2', timezone: 'Europe/Vienna' },
    guns: [{ id: 'gun-01' }, { id: 'gun-02' }],
  });
  const memory = newGunMemory('gun-01', 'value');
  const pool = emptyPumpPool();
  const block = {
    ...{ gun: 'gun-01', powder: 'p-1', start: START - HOUR, end: START, runs: 20, minutes: 10, kilograms: 1.5 },
    ...{ flow: Math.log(2), output: Math.log(150), outputVariance: 1e-4, supplementary: Number.NaN },
  } as unknown as Block;
  learnBlock(pool, block, 'measured', { mean: 0, sd: PRIORS.newWear });
  if (ripple) for (let at = 0; at < 3; at++) learnSteadyLevel(memory.ripple, SIGNALS.ripple, START, 0.2, 0.7, -4, 1e-3);
  memory.powder = 'p-1';
  memory.sprayHours = 20;
  const begun = { onset: START, upward: false, powder: 'p-1', common: false };
  memory.step = { ...newStepCase(memory, START, begun), ...step };
  const book = emptyBook();
  const told: Finding[] = [];
  const set = Settings.parse(settings);
  const tunablesOf = (part: string) => settingsFor(set, { gun: 'gun-01', powder: 'p-1', part });
  return {
    told,
    memory,
    book,
    look(hours, loss, rise = 0, lossSd = 0.015) {
      memory.sprayHours += hours;
      resetQuantity(pool.gaussian, pool.guns['gun-01']!.leak, loss, lossSd ** 2);
      if (ripple) resetQuantity(memory.ripple.gaussian, 2, rise, 0.06 ** 2);
      const now = START + (memory.sprayHours - 20) * 4 * HOUR;
      return {
        ...{ plant, gun: plant.guns[0]!, memory, pool, guns: { 'gun-01': memory }, book, now, told, dismissals: [] },
        ...{ tunables: tunablesOf('pump-insert'), tunablesOf },
      };
    },
  };
}
