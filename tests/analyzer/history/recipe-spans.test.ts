import { expect, test } from 'vitest';
import { recipeSpans } from '../../../analyzer/history/recipe-spans.ts';
import { RUN_FIELDS, type RunTable } from '../../../collector/contract/index.ts';

/** Runs of one minute each, a minute apart, at these outputs. */
function runsAt(outputs: readonly number[]): Pick<RunTable, 'columns' | 'length'> {
  const columns = Object.fromEntries(RUN_FIELDS.map((field) => [field, new Float64Array(outputs.length)]));
  for (const [row, output] of outputs.entries()) {
    columns.output![row] = output;
    columns.start![row] = row * 120_000;
    columns.end![row] = row * 120_000 + 60_000;
  }
  return { columns: columns as RunTable['columns'], length: outputs.length };
}

const many = (output: number, runs: number): number[] => Array.from({ length: runs }, () => output);
const spanOf = (output: number, first: number, last: number) => ({
  output: expect.closeTo(output, 9),
  from: first * 120_000,
  to: last * 120_000 + 60_000,
});

test('another output is a recipe of its own from the first of five runs on', () => {
  expect(recipeSpans(runsAt([...many(150, 10), ...many(200, 8)]), 0)).toEqual([spanOf(150, 0, 9), spanOf(200, 10, 17)]);
});

test('four runs are a touch-up, and so are five that differ from each other', () => {
  expect(recipeSpans(runsAt([...many(150, 10), ...many(200, 4), ...many(150, 3)]), 0)).toEqual([spanOf(150, 0, 16)]);
  const odd = [...many(150, 10), 200, 200, 100, 100, 200, ...many(150, 3)];
  expect(recipeSpans(runsAt(odd), 0)).toEqual([spanOf(150, 0, 17)]);
});

test('those that are off have to be so in a row', () => {
  const broken = [...many(150, 10), ...many(200, 3), 150, ...many(200, 3), 150];
  expect(recipeSpans(runsAt(broken), 0)).toEqual([spanOf(150, 0, 17)]);
});

test('the level follows what is sprayed, runs without an output are passed over', () => {
  const outputs = [...many(150, 10), Number.NaN, 0, ...many(156, 10)];
  const [only, ...others] = recipeSpans(runsAt(outputs), 0);
  expect(others).toEqual([]);
  expect(only).toEqual(spanOf(Math.sqrt(150 * 156), 0, 21));
});

test('stretches that would not be seen are left out', () => {
  const outputs = [...many(150, 10), ...many(200, 30)];
  expect(recipeSpans(runsAt(outputs), 20 * 60_000)).toEqual([spanOf(200, 10, 39)]);
});

test('no runs have no recipes', () => {
  expect(recipeSpans(runsAt([]), 0)).toEqual([]);
});
