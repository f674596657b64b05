import { describe, expect, it } from 'vitest';
import { learnRecipe, type RecipeOffsets, recipeOffset } from '../../../analyzer/baseline/recipe-offsets.ts';

const SMALL = Math.log(60);
const LARGE = Math.log(200);

describe('what a set recipe gives beside the curve', () => {
  it('is nothing before it was seen', () => {
    expect(recipeOffset({}, SMALL)).toBe(0);
  });

  it('comes to what it is, recipe by recipe', () => {
    const offsets: RecipeOffsets = {};
    for (let block = 0; block < 120; block++) {
      learnRecipe(offsets, SMALL, -0.2 - recipeOffset(offsets, SMALL));
      learnRecipe(offsets, LARGE, 0.05 - recipeOffset(offsets, LARGE));
    }
    expect(recipeOffset(offsets, SMALL)).toBeCloseTo(-0.2, 2);
    expect(recipeOffset(offsets, LARGE)).toBeCloseTo(0.05, 2);
  });

  it('takes less than a fifth from one block', () => {
    const offsets: RecipeOffsets = {};
    learnRecipe(offsets, SMALL, -0.3);
    expect(recipeOffset(offsets, SMALL)).toBeCloseTo(-0.06, 9);
  });
});
