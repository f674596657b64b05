import { LEVEL_STEP, LEVELS, REACH } from './level-grid.ts';

/**
 * What a gun whose powder nobody reads showed since its insert was changed. What the old one had lost is not known to a hair, and where that was wrong all levels lie beside where
 * they lay before, for good: as a leak does. Part of the pipeline's state.
 */
export interface NewInsertLevels {
  /** Deviation of how far levels may have moved, ln output, and spray hours until that is told. */
  readonly sd: number;
  hours: number;
  /** Mean level and blocks of each stretch of work since. */
  stretches: { level: number; blocks: number }[];
}

/** Spray hours after which it is told where levels lie. Source: own choice, most of a shift: a leak that begins meanwhile is taken for them. */
const HOURS = 2;
/** Share of what an insert is believed to have lost by which that may be wrong, and what is left open of any change, ln output. Source: own choice, the width of limits that nothing has taught. */
const WRONG = { share: 0.35, least: 0.06 };
/** Deviation of a stretch from where its powder lay before (ln output), and share of stretches with a powder never seen. Source: own choice: lots, and hands where those set the air. */
const AGAIN = { read: 0.04, set: 0.06, never: 0.15, neverSd: 0.2 };

/** @param wear ln of output that the old insert is believed to have lost */
export function newInsertLevels(wear: number): NewInsertLevels {
  return { sd: Math.hypot(WRONG.least, WRONG.share * Math.max(0, wear)), hours: 0, stretches: [] };
}

/** Takes a block in. @returns true once it can be told where levels lie */
export function gatherLevel(state: NewInsertLevels, level: number, hours: number, pause: boolean): boolean {
  const last = state.stretches.at(-1);
  if (last === undefined || pause) state.stretches.push({ level, blocks: 1 });
  else {
    last.blocks++;
    last.level += (level - last.level) / last.blocks;
  }
  state.hours += hours;
  return state.hours >= HOURS;
}

const density = (off: number, sd: number): number => Math.exp(-0.5 * (off / sd) ** 2) / sd;

/**
 * By how much levels moved with the new insert: where they were seen before, moved alike, explains best what was seen since.
 *
 * @param seen spray hours at each level of the grid before the change
 * @param set a hand sets the air
 * @returns ln output, the mean of what is believed
 * Source: Bayes' rule on a grid; all figures are own choice.
 * @example
 * const seen = new Array(61).fill(0);
 * seen[30] = 10;
 * const state = newInsertLevels(0.4);
 * gatherLevel(state, -0.14, 3, true);
 * movedBy(state, seen, false).toFixed(2); // '-0.12'
 */
export function movedBy(state: NewInsertLevels, seen: readonly number[], set: boolean): number {
  const total = seen.reduce((sum, hours) => sum + hours, 0);
  if (total === 0) return 0;
  const sd = set ? AGAIN.set : AGAIN.read;
  let weights = 0;
  let sum = 0;
  for (let step = -REACH; step <= REACH; step++) {
    const moved = step * LEVEL_STEP;
    let log = -0.5 * (moved / state.sd) ** 2;
    for (const { level } of state.stretches) {
      let likely = AGAIN.never * density(level - moved, AGAIN.neverSd);
      for (let i = 0; i < LEVELS; i++)
        if (seen[i]! > 0)
          likely += (1 - AGAIN.never) * (seen[i]! / total) * density(level - moved - (i - REACH) * LEVEL_STEP, sd);
      log += Math.log(likely);
    }
    const weight = Math.exp(log);
    weights += weight;
    sum += weight * moved;
  }
  return weights === 0 ? 0 : sum / weights;
}
