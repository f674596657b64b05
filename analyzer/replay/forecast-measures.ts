import type { Estimate } from '../stats/count-interval.ts';
import { jackknife } from '../stats/jackknife.ts';
import { medianInterval } from '../stats/median-interval.ts';
import { calibrationGap } from './calibration.ts';
import type { CaseScore } from './case-score.ts';
import { atLeast, atMost, type Measure, share } from './measure.ts';

/** How good forecasts and stated probabilities are, and how soon a finding clears. */
export function forecastMeasures(scores: readonly CaseScore[]): Measure[] {
  const byLife = new Map<string, CaseScore['forecasts'][number][]>();
  for (const forecast of scores.flatMap(({ forecasts }) => forecasts)) {
    const known = byLife.get(forecast.life);
    if (known) known.push(forecast);
    else byLife.set(forecast.life, [forecast]);
  }
  const lives = [...byLife.values()];
  const basis = `${lives.reduce((sum, { length }) => sum + length, 0)} forecasts of ${lives.length} inserts`;
  const inside = (groups: readonly CaseScore['forecasts'][]): number =>
    groups.flat().filter((forecast) => forecast.inside).length / groups.flat().length;
  const typical = (name: string, of: 'error' | 'width', reach: number): Measure => ({
    name,
    estimate:
      lives.length > 0 ? medianInterval(lives.map((life) => medianInterval(life.map((one) => one[of])).value)) : null,
    unit: 'share of life',
    basis,
    reach: atMost(reach),
  });
  const judged = scores.filter(({ findings }) => findings.length > 0);
  const count = judged.reduce((sum, { findings }) => sum + findings.length, 0);
  return [
    {
      name: 'Remaining life from half-life on, truth inside p10–p90',
      estimate: lives.length > 0 ? asShare(jackknife(lives, inside)) : null,
      unit: 'share',
      basis,
      reach: [0.75, 0.87],
    },
    typical('Remaining life, median error of p50', 'error', 0.12),
    typical('Remaining life, median width of p10–p90', 'width', 0.5),
    {
      name: 'Calibration, gap between stated probability and share right',
      estimate:
        count > 0
          ? asShare(jackknife(judged, (some) => calibrationGap(some.flatMap(({ findings }) => findings))))
          : null,
      unit: 'share',
      basis: `${count} findings`,
      reach: atMost(0.05),
    },
    share(
      'Cleared within 8 spray hours of the right change',
      scores.flatMap(({ clearings }) => clearings),
      ({ inTime }) => inTime,
      'changes',
      atLeast(0.95),
    ),
  ];
}

/** Limits of a share, within 0 to 1. */
function asShare({ value, low, high }: Estimate): Estimate {
  return { value, low: Math.max(0, low), high: Math.min(1, high) };
}
