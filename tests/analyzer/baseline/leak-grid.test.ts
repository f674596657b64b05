import { expect, test } from 'vitest';
import { LeakGrid } from '../../../analyzer/baseline/leak-grid.ts';
import { Random } from '../../../simulators/random.ts';

test('levels and leaks taken in pairs come to the same, to the last bit, as one by one', () => {
  const [paired, plain] = [new LeakGrid(), new LeakGrid(false)];
  expect([paired.isPaired, plain.isPaired]).toEqual([true, false]);
  for (let seed = 0; seed < 60; seed++) {
    const random = new Random(seed);
    const { belief, next, likely } = plain;
    for (let i = 0; i < belief.length; i++) belief[i] = random.uniform() ** 9;
    for (let i = 0; i < next.length; i++) next[i] = random.uniform();
    for (let i = 0; i < likely.length; i++) likely[i] = random.uniform() < 0.3 ? 1e-3 : random.uniform();
    for (const name of ['belief', 'next', 'likely'] as const) paired[name].set(plain[name]);
    const seen = Array.from(next, () => random.uniform(0, 20));
    const [factor, sd, change, begins, ends] = [0.1, 0.02, 1, 0.1, 1].map((most) => random.uniform(0, most));
    for (const grid of [paired, plain]) {
      grid.spread(seen, factor!);
      grid.predict(sd!, change!);
    }
    expect([paired.next, paired.others, paired.belief]).toEqual([next, plain.others, belief]);
    for (const grid of [paired, plain]) grid.weigh(begins!, ends!);
    expect([paired.others, paired.belief]).toEqual([plain.others, belief]);
  }
});

test('the grid is one whole at the end, and each leak has its share of it', () => {
  for (const grid of [new LeakGrid(), new LeakGrid(false)]) {
    grid.belief.fill(1 / grid.belief.length);
    grid.next.fill(1 / grid.next.length);
    grid.likely.fill(0.5);
    grid.predict(0.012, 0.3);
    expect(grid.others.reduce((sum, one) => sum + one, 0)).toBeCloseTo(0.3, 12);
    grid.weigh(0.01, 0.02);
    expect(grid.belief.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 12);
    expect(grid.others.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 12);
  }
});
