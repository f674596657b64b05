import { describe, expect, it } from 'vitest';
import type { Block } from '../../../analyzer/baseline/block.ts';
import { excessAirOf } from '../../../analyzer/baseline/excess-air.ts';
import { learnBlock } from '../../../analyzer/baseline/learn-block.ts';
import { emptyPumpPool, type PumpPool } from '../../../analyzer/baseline/pump-pool.ts';
import { PRIORS } from '../../../analyzer/baseline/pump-priors.ts';
import { wearInsert } from '../../../analyzer/baseline/pump-wear.ts';
import { isAtStop } from '../../../analyzer/baseline/regulator-stop.ts';
import { noise } from '../runs/station-frames.ts';

const START = Date.UTC(2026, 2, 2, 6);
const DAY = 86_400_000;
/** Blocks of a working day. */
const A_DAY = 24;

/** A gun of a hall that was made up here: what is asked of it, how its air is set and read, and what happens. */
interface Hall {
  readonly kind?: 'setpoint' | 'measured';
  /** g/min, one after the other; powder p-1, and p-2 every other time, of which this pump gives less. */
  readonly recipes?: readonly number[];
  readonly days: number;
  /** Days [day, until) on which the regulator gives no more than this, bar absolute. */
  readonly stop?: { readonly day: number; readonly until?: number; readonly bar: number };
  /** Notches in which a hand sets the pressure, and what a gauge shows it to, bar. */
  readonly notch?: number;
  readonly digit?: number;
  /** A hand that leaves the air at what one recipe needs. */
  readonly fixed?: number;
  /** Loss (ln output) that the insert has come to by the end. */
  readonly loss?: number;
  readonly seed?: number;
}

const P2 = 0.88;
/** Nozzle, m3/h for each bar absolute, and a pump that lifts nothing below 0.7 m3/h: no curve of ours. */
const NOZZLE = 0.95;
const given = (flow: number, powder: string): number => 105 * (flow - 0.7) ** 1.15 * (powder === 'p-1' ? 1 : P2);
const needed = (output: number, powder: string): number =>
  0.7 + (output / (105 * (powder === 'p-1' ? 1 : P2))) ** (1 / 1.15);

/** Sprays the days of a hall; each recipe for two blocks. @returns the belief, and each block with whether anything was learnt of it */
function spray(hall: Hall): { pool: PumpPool; heard: boolean[]; atStop: boolean[] } {
  const { kind = 'setpoint', recipes = [140, 185, 230], days, stop, notch = 0.1, digit = 0.001, loss = 0 } = hall;
  const random = noise(hall.seed ?? 1);
  const pool = emptyPumpPool();
  const heard: boolean[] = [];
  const atStop: boolean[] = [];
  for (let at = 0; at < days * A_DAY; at++) {
    const day = Math.floor(at / A_DAY);
    const start = START + day * DAY + (at % A_DAY) * 1_200_000;
    const visit = Math.floor(at / 2);
    const powder = Math.floor(visit / recipes.length) % 2 === 0 ? 'p-1' : 'p-2';
    const asked = recipes[visit % recipes.length]!;
    const lost = Math.exp((-loss * at) / (days * A_DAY));
    const need = needed((hall.fixed ?? asked) / lost, hall.fixed === undefined ? powder : 'p-1') / NOZZLE;
    const set = Math.round((need * (1 + 0.01 * random())) / notch) * notch;
    const stands = stop !== undefined && day >= stop.day && day < (stop.until ?? days);
    const bar = stands ? Math.min(set, stop.bar) : set;
    const flow = NOZZLE * bar;
    const out = kind === 'setpoint' ? asked : given(flow, powder) * lost * (1 + 0.01 * random());
    const kilograms = (out * 8) / 1000;
    const block = {
      ...{ gun: 'gun-01', powder, start, end: start + 480_000, runs: 24, minutes: 8, kilograms },
      flow: Math.log(flow * (1 + 0.002 * random())),
      pressure: Math.round((bar * (1 + 0.001 * random())) / digit) * digit,
      ...{ output: Math.log(out), outputVariance: 1e-5, supplementary: Number.NaN },
    } as unknown as Block;
    wearInsert(pool, 'gun-01', powder, kilograms, block.flow, 8 / 60);
    heard.push(learnBlock(pool, block, kind, { mean: 0, sd: PRIORS.newWear }) !== null);
    atStop.push(isAtStop(pool.guns['gun-01']!.stop));
  }
  return { pool, heard, atStop };
}

/** Air (m3/h) that a new insert is believed to need for 185 g/min. */
const needOf = ({ pool }: { pool: PumpPool }): number => excessAirOf(pool, 'gun-01', 'p-1', Math.log(185))!.neededAir;
const excessOf = ({ pool }: { pool: PumpPool }): number => excessAirOf(pool, 'gun-01', 'p-1', Math.log(185))!.wear;

describe('a regulator at its stop behind a set output', () => {
  const CAPS = [1.95, 1.9, 1.85];

  it.each(CAPS)(
    'at %d bar moves what a new insert is believed to need by no more than its first recipe does',
    (bar) => {
      const before = needOf(spray({ days: 8 }));
      const after = needOf(spray({ days: 14, stop: { day: 8, bar } }));
      expect(Math.abs(Math.log(after / before))).toBeLessThan(0.07);
    },
  );

  it.each(CAPS)('at %d bar adds no more wear than what was sprayed', (bar) => {
    const without = excessOf(spray({ days: 14 }));
    expect(Math.abs(excessOf(spray({ days: 14, stop: { day: 8, bar } })) - without)).toBeLessThan(0.03);
  });

  it('is known within a day, and over as soon as more air is read', () => {
    const { atStop, heard } = spray({ days: 11, stop: { day: 8, until: 10, bar: 1.85 } });
    expect(atStop.slice(0, 8 * A_DAY)).not.toContain(true);
    expect(atStop.slice(9 * A_DAY, 10 * A_DAY)).not.toContain(false);
    expect(atStop.slice(10 * A_DAY)).not.toContain(true);
    expect(heard.slice(10 * A_DAY)).not.toContain(false);
  });

  it('lets recipes go on telling that need less air', () => {
    const { heard } = spray({ days: 12, recipes: [90, 185, 230], stop: { day: 8, bar: 1.9 } });
    const since = heard.slice(9 * A_DAY);
    expect(since.filter(Boolean).length).toBeGreaterThan(0.25 * since.length);
    expect(since.filter((said) => !said).length).toBeGreaterThan(0.4 * since.length);
  });
});

/** Share of blocks that were learnt from, beside what the first days and odd blocks cost. */
const shareHeard = ({ heard }: { heard: boolean[] }): number => heard.filter(Boolean).length / heard.length;

describe('no regulator at its stop', () => {
  const SOUND: Record<string, Hall> = {
    'a gun of one recipe': { days: 14, recipes: [185] },
    'a gun whose air never varied with the recipe': { days: 14, recipes: [160, 185, 215], fixed: 185 },
    'a gauge that reads to a quarter of a bar': { days: 14, digit: 0.25 },
    'notches of a quarter of a bar': { days: 14, notch: 0.25 },
    'an insert that wears': { days: 14, loss: 0.25 },
    'recipes that lie close together': { days: 14, recipes: [150, 160, 170, 180] },
    'an output that is measured': { days: 14, kind: 'measured', stop: { day: 7, bar: 1.85 } },
  };

  it.each(Object.keys(SOUND))('is found in %s', (name) => {
    for (const seed of [1, 2, 3]) {
      const hall = spray({ ...SOUND[name]!, seed });
      expect(hall.atStop.filter(Boolean).length, `seed ${seed}`).toBeLessThan(0.03 * hall.atStop.length);
      expect(shareHeard(hall), `seed ${seed}`).toBeGreaterThan(0.93);
    }
  });

  it('takes nothing of the wear of an insert behind a set output', () => {
    expect(excessOf(spray({ days: 14, loss: 0.25 }))).toBeGreaterThan(0.08);
  });
});
