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
  const spans: { level: number; runs: number; from: number; to: number }[] = [];
  let off: { start: number; end: number; output: number }[] = [];
  for (let row = 0; row < length; row++) {
    const output = Math.log(columns.output[row]!);
    if (!Number.isFinite(output)) continue;
    const run = { start: columns.start[row]!, end: columns.end[row]!, output };
    const last = spans.at(-1);
    if (last !== undefined && Math.abs(output - last.level) <= OTHER.off) {
      last.runs++;
      last.level += (output - last.level) / last.runs;
      last.to = run.end;
      off = [];
      continue;
    }
    const known = off[0];
    if (known !== undefined && Math.abs(known.output - output) > OTHER.off) off = [];
    off.push(run);
    if (last !== undefined && off.length < OTHER.runs) continue;
    const level = off.reduce((sum, one) => sum + one.output, 0) / off.length;
    spans.push({ level, runs: off.length, from: off[0]!.start, to: run.end });
    off = [];
  }
  return spans
    .filter(({ from, to }) => to - from >= shortest)
    .map(({ level, from, to }) => ({ output: Math.exp(level), from, to }));
}
