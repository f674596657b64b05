import { z } from 'zod';

/** Settings of what a sample is compared with: given, or learned in a warm-up and then frozen. */
export const referenceFields = {
  target: z
    .number()
    .default(0)
    .meta({ description: 'Value expected without a change; learned where a warm-up is set' }),
  sigma: z.number().positive().default(1).meta({
    description: 'Standard deviation of a sample; with a warm-up the smallest that is believed',
  }),
  warmUp: z.number().int().min(0).max(100_000).default(0).meta({
    description: 'Samples from which target and standard deviation are learned; 0 uses the settings',
    unit: 'samples',
  }),
};

export interface ReferenceSettings {
  readonly target: number;
  readonly sigma: number;
  readonly warmUp: number;
}

/** What the warm-up has learned, part of a detector's state. */
export interface Reference {
  /** Samples taken in by the warm-up. */
  learned: number;
  mean: number;
  /** Sum of squared deviations from the mean. */
  squares: number;
}

/** The state of a reference before its first sample. */
export function newReference(): Reference {
  return { learned: 0, mean: 0, squares: 0 };
}

/**
 * A sample in standard deviations from its reference, or NaN while the warm-up learns from it.
 *
 * @param settings target and sigma, or the length of the warm-up
 * @param state changed while warming: mean and squares by Welford's update
 * @param x sample, finite, in the unit of target and sigma
 * @returns standard deviations
 * Source: B. P. Welford, Technometrics 4, 1962.
 * @example
 * standardise({ target: 50, sigma: 2, warmUp: 0 }, newReference(), 53); // 1.5
 */
export function standardise(settings: ReferenceSettings, state: Reference, x: number): number {
  if (settings.warmUp === 0) return (x - settings.target) / settings.sigma;
  if (state.learned < settings.warmUp) {
    state.learned += 1;
    const off = x - state.mean;
    state.mean += off / state.learned;
    state.squares += off * (x - state.mean);
    return Number.NaN;
  }
  const learnedSigma = state.learned > 1 ? Math.sqrt(state.squares / (state.learned - 1)) : 0;
  return (x - state.mean) / Math.max(learnedSigma, settings.sigma);
}
