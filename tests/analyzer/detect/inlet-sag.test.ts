import { describe, expect, it } from 'vitest';
import { SIGNALS } from '../../../analyzer/baseline/learn-signals.ts';
import { driftOf, learnSteadyLevel, newSteadyLevel } from '../../../analyzer/baseline/steady-level.ts';
import { lineDeviations } from '../../../analyzer/detect/ramp-limits.ts';
import { LASTING_HOURS, LINE_RAMPS, LINE_SMALL } from '../../../analyzer/detect/ramp-rate.ts';
import { seededNormal } from '../../seeded-normal.ts';

const HOUR_MS = 3_600_000;
const BLOCK_HOURS = 8 / 60;
const BLOCKS_A_DAY = 15;
const USUAL_FLOW = 2.5;
/** Runs of a block that show a sag, and one run's error, bar. */
const SHOWN = 12;
const RUN_SD = 0.1;

/** Blocks of a unit's inlet under the model of its nuisance: sag over total flow, and what a filter adds. */
function follow(
  normal: () => number,
  blocks: number,
  added: (hours: number, flow: number) => number,
  see: (drift: { mean: number; sd: number }, hours: number) => void,
): void {
  const state = newSteadyLevel();
  const { nuisance, block } = SIGNALS.sag;
  let time = 0;
  let slow = nuisance.sd * normal();
  for (let at = 0; at < blocks; at++) {
    const elapsed = at % BLOCKS_A_DAY === 0 ? 16.5 * HOUR_MS : HOUR_MS / 2;
    time += elapsed;
    const keep = Math.exp(-elapsed / (nuisance.hours * HOUR_MS));
    slow = keep * slow + Math.sqrt(1 - keep * keep) * nuisance.sd * normal();
    const flow = USUAL_FLOW + 0.4 * normal();
    const error = Math.hypot(block, RUN_SD / Math.sqrt(SHOWN)) * normal();
    const sag = 0.05 + 0.03 * (flow - USUAL_FLOW) + slow + error + added(at * BLOCK_HOURS, flow);
    learnSteadyLevel(state, SIGNALS.sag, time, BLOCK_HOURS, flow, sag, RUN_SD ** 2 / SHOWN);
    see(driftOf(state)!, at * BLOCK_HOURS);
  }
}

/** Share of its time at which a filter that clogs in so many spray hours is told; its loss goes with the square of the flow. */
function foundAt(normal: () => number, bar: number, hours: number): number {
  const from = 10;
  const deviations = lineDeviations(0.3);
  let beyond = Number.NaN;
  let found = Number.POSITIVE_INFINITY;
  const added = (at: number, flow: number): number => (bar * Math.max(0, at - from) * (flow / USUAL_FLOW) ** 2) / hours;
  follow(normal, 600, added, ({ mean, sd }, at) => {
    if (mean - deviations * sd < LINE_SMALL.inlet) beyond = Number.NaN;
    else if (Number.isNaN(beyond)) beyond = at;
    if (at - beyond >= LASTING_HOURS && found === Number.POSITIVE_INFINITY) found = (at - from) / hours;
  });
  return found;
}

describe('the inlet of a unit', () => {
  it.each([
    [0.65, 18],
    [0.5, 30],
  ])('tells a filter that comes to cost %s bar in %i spray hours before 70 %% of it, at the median', (bar, hours) => {
    const normal = seededNormal(4);
    const found = Array.from({ length: 15 }, () => foundAt(normal, bar, hours)).sort((a, b) => a - b);
    expect(found[7]).toBeLessThan(0.7);
    expect(found[14]).toBeLessThan(1);
  });

  it('is believed as surely while sound as its rate of false findings takes it', () => {
    const normal = seededNormal(8);
    const { sd, staying, nuisance } = LINE_RAMPS.inlet;
    const stated: number[] = [];
    let squares = 0;
    let seen = 0;
    for (let life = 0; life < 12; life++)
      follow(
        normal,
        2000,
        () => 0,
        (drift, hours) => {
          if (hours < 20) return;
          squares += drift.mean ** 2;
          seen++;
          if (hours > 200) stated.push(drift.sd);
        },
      );
    expect(stated.reduce((sum, one) => sum + one, 0) / stated.length / sd).toBeCloseTo(1, 1);
    expect(Math.sqrt(squares / seen) / Math.hypot(staying, nuisance.sd)).toBeGreaterThan(0.75);
    expect(Math.sqrt(squares / seen) / Math.hypot(staying, nuisance.sd)).toBeLessThan(1.25);
  });
});
