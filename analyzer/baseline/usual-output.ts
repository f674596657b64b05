/**
 * How much was sprayed at each output, with the last spray hours counting most: a histogram over ln output. Part of the pipeline's state.
 */
export interface UsualOutput {
  /** Bins that hold something, ascending, and the spray hours in each. */
  bins: number[];
  held: number[];
  /** Median of ln output; null before anything was sprayed. */
  median: number | null;
}

const BIN = 0.03;
/** Spray hours after which an output counts for 1/e: its median follows that of the last 40 spray hours. Source: contract section 6 (40 h). */
const MEMORY_HOURS = 25;
/** Spray hours below which a bin is forgotten. Source: own choice, a pull of some seconds. */
const FORGOTTEN_HOURS = 1e-3;

export function newUsualOutput(): UsualOutput {
  return { bins: [], held: [], median: null };
}

/** @param output ln of output in g/min; @param hours sprayed at it */
export function countOutput(usual: UsualOutput, output: number, hours: number): void {
  const { bins, held } = usual;
  const keep = Math.exp(-hours / MEMORY_HOURS);
  const bin = Math.round(output / BIN);
  let left = 0;
  let place = -1;
  let total = 0;
  for (let from = 0; from < bins.length; from++) {
    let here = held[from]! * keep;
    if (here < FORGOTTEN_HOURS) continue;
    if (bins[from] === bin) {
      place = left;
      here += hours;
    }
    bins[left] = bins[from]!;
    held[left++] = here;
    total += here;
  }
  if (left < bins.length) {
    bins.length = left;
    held.length = left;
  }
  if (place < 0) {
    insert(usual, bin, hours);
    total = 0;
    for (let each = 0; each < held.length; each++) total += held[each]!;
  }
  usual.median = medianOf(usual, total);
}

function insert({ bins, held }: UsualOutput, bin: number, hours: number): void {
  let place = bins.length;
  while (place > 0 && bins[place - 1]! > bin) place--;
  bins.splice(place, 0, bin);
  held.splice(place, 0, hours);
}

/** Median of ln output over what was sprayed; null before anything was. */
export function usualOutput({ median }: UsualOutput): number | null {
  return median;
}

/** @param total of what is held */
function medianOf({ bins, held }: UsualOutput, total: number): number | null {
  let sum = 0;
  for (let place = 0; place < bins.length; place++) {
    const here = held[place]!;
    if (sum + here >= total / 2) return BIN * (bins[place]! - 0.5 + (total / 2 - sum) / here);
    sum += here;
  }
  return null;
}
