/**
 * What a gun with a set output gives for each recipe beside its curve, ln of output by recipe, and blocks that told it. Where the output is set nothing teaches
 * the curve, and a week of the smallest recipe would look like a leak. Part of the pipeline's state.
 */
export type RecipeOffsets = Record<string, { value: number; blocks: number }>;

/** Recipes are told apart by so much of ln output. Source: own choice, twice what makes another recipe. */
const GRAIN = 0.06;
/** Blocks that count as much as no offset at all, and over which one is remembered. Source: own choice, half an hour and half a week. */
const LEARN = { before: 4, over: 30 };

const keyOf = (logOutput: number): string => String(Math.round(logOutput / GRAIN));

/** ln of output by which this recipe lies beside the gun's curve, as known. */
export function recipeOffset(offsets: RecipeOffsets, logOutput: number): number {
  return offsets[keyOf(logOutput)]?.value ?? 0;
}

/** Takes in by how much a block of a recipe was off what was expected with its offset. */
export function learnRecipe(offsets: RecipeOffsets, logOutput: number, off: number): void {
  const key = keyOf(logOutput);
  const own = offsets[key] ?? { value: 0, blocks: 0 };
  own.blocks = Math.min(own.blocks + 1, LEARN.over);
  own.value += off / (own.blocks + LEARN.before);
  offsets[key] = own;
}
