import type { PumpGun } from './pump-pool.ts';

/** Blocks that a gun's practice remembers, and the variance of flow below which no slope is believed, (m3/h)². Source: own choice. */
const PRACTICE_BLOCKS = 200;
const PRACTICE_RIDGE = 0.02;

/**
 * Supplementary air beyond what this gun usually has at this conveying air, m3/h. Many units hold the total, so that it
 * falls as conveying air rises: the curve is learnt along that line, and only what departs from it counts beside.
 */
export function unusualSupplementary({ practice }: PumpGun, flow: number, supplementary: number): number {
  if (!Number.isFinite(supplementary)) return 0;
  const slope = practice.covariance / (practice.variance + PRACTICE_RIDGE);
  const off = practice.weight === 0 ? 0 : supplementary - practice.supplementary - slope * (flow - practice.flow);
  practice.weight = Math.min(practice.weight + 1, PRACTICE_BLOCKS);
  const share = 1 / practice.weight;
  const flowOff = flow - practice.flow;
  const sideOff = supplementary - practice.supplementary;
  practice.flow += share * flowOff;
  practice.supplementary += share * sideOff;
  practice.variance += share * ((1 - share) * flowOff * flowOff - practice.variance);
  practice.covariance += share * ((1 - share) * flowOff * sideOff - practice.covariance);
  return off;
}
