import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { beginLot, noteMoved } from '../../../analyzer/baseline/lot-heard.ts';
import { emptyPumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { emptyBook } from '../../../analyzer/diagnose/finding-book.ts';
import { judgeAir, judgeLot } from '../../../analyzer/diagnose/judge-common.ts';
import type { Bench } from '../../../analyzer/diagnose/site-view.ts';
import { type Finding, Plant, Settings, settingsFor } from '../../../collector/contract/index.ts';

const START = Date.UTC(2026, 2, 2, 6);
const HOUR = 3_600_000;
const IDS = ['gun-01', 'gun-02', 'gun-03'];

/** What is told so many hours after three guns began to give less for the air that they take, all at once. */
function told(output: 'measured' | 'setpoint', judge: (bench: Bench) => void, hours: number): string[] {
  const plant = Plant.parse({
    site: { id: 'hall-2', timezone: 'Europe/Vienna' },
    guns: IDS.map((id) => ({ id, output })),
  });
  const pool = emptyPumpPool();
  const block = (gun: string, at: number) =>
    ({
      ...{ gun, powder: 'p-1', start: START + at * HOUR - 600_000, end: START + at * HOUR, runs: 20, minutes: 10 },
      ...{ kilograms: 1.5, flow: Math.log(2), output: Math.log(150), outputVariance: 1e-4, supplementary: Number.NaN },
    }) as unknown as Block;
  for (let at = 0; at < 30; at++)
    for (const id of IDS) learnBlock(pool, block(id, at - 30), output, { mean: 0, sd: 0.02 });
  const powder = pool.powders['p-1']!;
  const { gaussian } = pool;
  if (judge === judgeLot) {
    beginLot(powder, 0, true, START);
    for (const id of IDS) noteMoved(powder, id);
    gaussian.mean[powder.lot] = -0.35;
  } else {
    pool.common.taken = START;
    pool.common.onset = START;
    gaussian.mean[pool.site] = -0.1;
  }
  const found: Finding[] = [];
  const guns = Object.fromEntries(IDS.map((id) => [id, newGunMemory(id, 'value')]));
  const tunablesOf = (part: string) => settingsFor(Settings.parse({}), { gun: 'gun-01', powder: 'p-1', part });
  const now = START + hours * HOUR;
  const memory = guns['gun-01']!;
  Object.assign(memory, { powder: 'p-1', sprayHours: 20, lastEnd: now });
  judge({
    ...{ plant, gun: plant.guns[0]!, memory, pool, guns, book: emptyBook(), now, told: found, dismissals: [] },
    ...{ tunables: tunablesOf('pump-insert'), tunablesOf },
  });
  return found.map(({ cause }) => cause);
}

describe.each([
  ['what guns lose with one powder', judgeLot, 'powder'],
  ['what guns of a line lose with every powder', judgeAir, 'supply-air'],
] as const)('%s', (_, judge, cause) => {
  it('is told after two hours where output is measured', () => {
    expect(told('measured', judge, 1.9)).toEqual([]);
    expect(told('measured', judge, 2)).toEqual([cause]);
  });

  it('has to outlast a shift where only set outputs tell of it: the hand of whoever took over does the same', () => {
    expect(told('setpoint', judge, 2)).toEqual([]);
    expect(told('setpoint', judge, 9.9)).toEqual([]);
    expect(told('setpoint', judge, 10)).toEqual([cause]);
  });
});
