import type { FindingOutcome } from './case-score.ts';

/** Findings whose stated probability lies in one tenth of the scale. */
export interface CalibrationBin {
  readonly count: number;
  readonly right: number;
  /** Mean stated probability. */
  readonly stated: number;
}

/** Tenths of the probability scale, from 0 to 1; 1 itself belongs to the last. */
export function calibrationBins(findings: readonly Pick<FindingOutcome, 'probability' | 'right'>[]): CalibrationBin[] {
  return Array.from({ length: 10 }, (_, bin) => {
    const inside = findings.filter(({ probability }) => Math.min(9, Math.floor(probability * 10)) === bin);
    const stated = inside.reduce((sum, { probability }) => sum + probability, 0) / inside.length;
    return { count: inside.length, right: inside.filter(({ right }) => right).length, stated };
  });
}

/**
 * Expected calibration error: the gap between stated probability and share right, over ten bins weighted by count.
 *
 * @returns gap, 0 to 1; NaN without findings
 * Source: M. P. Naeini, G. F. Cooper & M. Hauskrecht, AAAI 2015.
 * @example
 * calibrationGap([{ probability: 0.9, right: true }, { probability: 0.92, right: false }]); // 0.41
 */
export function calibrationGap(findings: readonly Pick<FindingOutcome, 'probability' | 'right'>[]): number {
  const bins = calibrationBins(findings).filter(({ count }) => count > 0);
  const gap = bins.reduce((sum, { count, right, stated }) => sum + Math.abs(right - count * stated), 0);
  return gap / findings.length;
}
