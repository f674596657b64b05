/** How much was sprayed at each output, with the last spray hours counting most: a histogram over ln output. */
export interface UsualOutput {
  /** Spray hours by bin of ln output, keyed by bin number. */
  bins: Record<string, number>;
  hours: number;
}

const BIN = 0.03;
/** Spray hours after which an output counts for 1/e: its median follows that of the last 40 spray hours. Source: contract section 6 (40 h). */
const MEMORY_HOURS = 25;

export function newUsualOutput(): UsualOutput {
  return { bins: {}, hours: 0 };
}

/** Medians that were worked out since the last hours were counted: judges ask at every look. */
const medians = new WeakMap<UsualOutput, number>();

/** @param output ln of output in g/min; @param hours sprayed at it */
export function countOutput(usual: UsualOutput, output: number, hours: number): void {
  const keep = Math.exp(-hours / MEMORY_HOURS);
  for (const key in usual.bins) {
    const left = usual.bins[key]! * keep;
    if (left < 1e-3) delete usual.bins[key];
    else usual.bins[key] = left;
  }
  const bin = String(Math.round(output / BIN));
  usual.bins[bin] = (usual.bins[bin] ?? 0) + hours;
  usual.hours = usual.hours * keep + hours;
  medians.delete(usual);
}

/** Median of ln output over what was sprayed; null before anything was. */
export function usualOutput(usual: UsualOutput): number | null {
  const before = medians.get(usual);
  if (before !== undefined) return before;
  const median = medianOf(usual);
  if (median !== null) medians.set(usual, median);
  return median;
}

function medianOf(usual: UsualOutput): number | null {
  const keys = Object.keys(usual.bins)
    .map(Number)
    .sort((left, right) => left - right);
  const total = keys.reduce((sum, key) => sum + usual.bins[key]!, 0);
  let sum = 0;
  for (const key of keys) {
    const here = usual.bins[key]!;
    if (sum + here >= total / 2) return BIN * (key - 0.5 + (total / 2 - sum) / here);
    sum += here;
  }
  return null;
}
