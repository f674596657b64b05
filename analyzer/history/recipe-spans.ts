import type { RunTable } from '../../collector/contract/index.ts';

/** A stretch with one powder output, g/min; times epoch ms. */
export interface RecipeSpan {
  readonly output: number;
  readonly from: number;
  readonly to: number;
}

/** Output (ln) by which a run is of another recipe, and runs in a row that have to be. Source: own choice, beyond what a run’s output scatters, and not a touch-up. */
const OTHER = { off: 0.08, runs: 5 };

/**
 * Stretches of spraying at one output: a new one begins with the first of some runs in a row that are off in the same direction.
 *
 * @param shortest stretches below this, ms, are left out: they would not be seen
 */
export function recipeSpans({ columns, length }: Pick<RunTable, 'columns' | 'length'>, shortest: number): RecipeSpan[] {
  const { output: outputs, start, end } = columns;
  const spans: { level: number; runs: number; from: number; to: number }[] = [];
  let last: (typeof spans)[number] | null = null;
  // Runs in a row that are off: how many, the first one's output, the sum of all, and when the first began.
  let [off, offFirst, offSum, offFrom] = [0, 0, 0, 0];
  for (let row = 0; row < length; row++) {
    const output = Math.log(outputs[row]!);
    if (!Number.isFinite(output)) continue;
    if (last !== null && Math.abs(output - last.level) <= OTHER.off) {
      last.runs++;
      last.level += (output - last.level) / last.runs;
      last.to = end[row]!;
      off = 0;
      continue;
    }
    if (off > 0 && Math.abs(offFirst - output) > OTHER.off) off = 0;
    if (off === 0) {
      offFirst = output;
      offSum = 0;
      offFrom = start[row]!;
    }
    off++;
    offSum += output;
    if (last !== null && off < OTHER.runs) continue;
    last = { level: offSum / off, runs: off, from: offFrom, to: end[row]! };
    spans.push(last);
    off = 0;
  }
  return spans
    .filter(({ from, to }) => to - from >= shortest)
    .map(({ level, from, to }) => ({ output: Math.exp(level), from, to }));
}
