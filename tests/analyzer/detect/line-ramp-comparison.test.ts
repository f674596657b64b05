import { describe, expect, it } from 'vitest';
import { SIGNALS } from '../../../analyzer/baseline/learn-signals.ts';
import { driftOf, learnSteadyLevel, newSteadyLevel } from '../../../analyzer/baseline/steady-level.ts';
import { cusum } from '../../../analyzer/detect/cusum.ts';
import { LINE_SMALL } from '../../../analyzer/detect/ramp-rate.ts';
import { ewma } from '../../reference-detectors/ewma.ts';
import { pageHinkley } from '../../reference-detectors/page-hinkley.ts';
import { stepGlr } from '../../reference-detectors/step-glr.ts';
import { seededNormal } from '../../seeded-normal.ts';

/*
 * Which detector for slow changes of an air line: residuals of the supplementary line as its model has them (slow nuisance of gauges and
 * weather, error of a block), every detector with the limit that one in ten sound lives crosses, a life being a slow loss up to the smallest
 * change worth a visit; then clogging in 25 spray hours. Told is the mean share of the limit at which it is found. With 150 lives each:
 *
 *   clogging to              0.18 in 25 h   0.30 in 25 h   0.18 in 60 h   0.30 in 60 h
 *   filtered drift (in use)  0.62           0.39           0.58           0.36
 *   the same, half as quick  0.69           0.45           0.59           0.38
 *   EWMA lambda 0.02         0.70           0.47           0.60           0.38
 *   EWMA lambda 0.2          0.60           0.38           0.58           0.35
 *   CUSUM slack 0.5          0.89           0.63           0.70           0.48
 *   CUSUM slack 0.1          1.08           0.78           0.81           0.57
 *   step ratio, window 100   0.69           0.46           0.59           0.38
 *   ramp ratio, window 150   0.69           0.45           0.59           0.38
 *   Page–Hinkley             1.50           1.34           1.19           0.90
 *
 * For independent samples an EWMA and a CUSUM are alike on slow drifts (C. A. Aerne, C. W. Champ & S. E. Rigdon, 1991; F. F. Gan, 1992: the
 * drift tables of tests/published/run-length.test.ts). With slow nuisance sums run away, and an EWMA is best. The filter's drift is one,
 * with the weight that nuisance and error ask for; it
 * takes the setting, an unknown level and a changed part as well, and so is what runs.
 */
const SIGNAL = SIGNALS.supplementary;
const SIGMA = Math.hypot(SIGNAL.nuisance.sd, SIGNAL.block);
const SMALL = LINE_SMALL.supplementary;
const LEARN = 25;
const LIVES = 50;
const LIFE_BLOCKS = 1200;
const RAMPS = 40;
const RAMP_BLOCKS = 190;
const RAMP = 0.24;
const HOUR_MS = 3_600_000;

type Statistic = (value: number, time: number, block: number, level: number) => number;

const inUse = (): Statistic => {
  const state = newSteadyLevel();
  return (value, time) => {
    learnSteadyLevel(state, SIGNAL, time, 8 / 60, 0, value, 0);
    const drift = driftOf(state)!;
    return (drift.mean - SMALL) / drift.sd;
  };
};

const standardised = (value: number, level: number): number => (value - level - SMALL) / SIGMA;

const others: Readonly<Record<string, () => Statistic>> = {
  ewma: () => {
    const settings = ewma.schema.parse({ limit: 1, lambda: 0.2, direction: 'up' });
    const state = ewma.init(settings);
    return (value, _time, _block, level) => {
      ewma.step(settings, state, standardised(value, level));
      return state.average;
    };
  },
  cusum: () => {
    const settings = cusum.schema.parse({ limit: 1, slack: 0.5 });
    const state = cusum.init(settings);
    return (value, _time, _block, level) => {
      cusum.step(settings, state, standardised(value, level));
      return state.up;
    };
  },
  'step ratio': () => {
    const settings = stepGlr.schema.parse({ limit: 1, window: 60 });
    const state = stepGlr.init(settings);
    return (value, _time, _block, level) => {
      stepGlr.step(settings, state, standardised(value, level));
      return state.best;
    };
  },
  'Page–Hinkley': () => {
    const settings = pageHinkley.schema.parse({ threshold: 1, delta: 0.5, fewest: 0 });
    const state = pageHinkley.init(settings);
    return (value, _time, _block, level) => {
      pageHinkley.step(settings, state, standardised(value, level));
      return state.sum - state.lowest;
    };
  },
};

/** Blocks of a line, 15 a day; the first teach its level. */
function live(
  normal: () => number,
  blocks: number,
  drift: (block: number) => number,
  make: () => Statistic,
  see: (statistic: number, block: number) => void,
): void {
  const statistic = make();
  let time = 0;
  let nuisance = SIGNAL.nuisance.sd * normal();
  let level = 0;
  for (let block = 0; block < blocks; block++) {
    const elapsed = block % 15 === 0 ? 16.5 * HOUR_MS : HOUR_MS / 2;
    time += elapsed;
    const keep = Math.exp(-elapsed / (SIGNAL.nuisance.hours * HOUR_MS));
    nuisance = keep * nuisance + Math.sqrt(1 - keep * keep) * SIGNAL.nuisance.sd * normal();
    const value = drift(block) + nuisance + SIGNAL.block * normal();
    const learning = block < LEARN;
    if (learning) level += (value - level) / (block + 1);
    // The filter learns from the first block on, the others from a level that is known.
    const told = learning && make !== inUse ? Number.NaN : statistic(value, time, block, level);
    if (!learning) see(told, block);
  }
}

/** Mean share of the ramp's limit at which it is found, at equal false alarms. */
function foundAt(make: () => Statistic): number {
  const healthy = seededNormal(5);
  const highest = Array.from({ length: LIVES }, () => {
    let most = Number.NEGATIVE_INFINITY;
    const sound = (block: number): number => (SMALL * block) / LIFE_BLOCKS;
    live(healthy, LIFE_BLOCKS, sound, make, (statistic) => {
      most = Math.max(most, statistic);
    });
    return most;
  }).sort((left, right) => left - right);
  const limit = highest[Math.floor(0.9 * LIVES)]!;
  const clogging = seededNormal(9);
  let sum = 0;
  for (let ramp = 0; ramp < RAMPS; ramp++) {
    let found = 1.5;
    const onset = 60;
    const drift = (block: number): number => (RAMP * Math.max(0, block - onset)) / RAMP_BLOCKS;
    live(clogging, onset + 1.5 * RAMP_BLOCKS, drift, make, (statistic, block) => {
      if (found === 1.5 && statistic > limit) found = (block - onset) / RAMP_BLOCKS;
    });
    sum += found;
  }
  return sum / RAMPS;
}

describe('detectors for the slow clogging of an air line at equal false alarms', () => {
  const used = foundAt(inUse);

  it('finds it well before 70 % of its limit with the one in use', () => {
    expect(used).toBeLessThan(0.6);
  });

  it('finds it about as early as the best EWMA', () => {
    expect(used).toBeLessThan(foundAt(others.ewma!) + 0.04);
  });

  it.each(['cusum', 'Page–Hinkley'])('finds it earlier than with %s', (name) => {
    expect(used).toBeLessThan(foundAt(others[name]!) - 0.05);
  });

  it('finds it no later than with a likelihood ratio over all onsets', () => {
    expect(used).toBeLessThan(foundAt(others['step ratio']!) + 0.01);
  });
});
