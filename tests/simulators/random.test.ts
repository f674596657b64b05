import { describe, expect, it } from 'vitest';
import { Random } from '../../simulators/random.ts';

describe('a keyed stream of random numbers', () => {
  it('is the same for the same seed and key and another for any other', () => {
    const draw = (seed: number, ...key: (string | number)[]): number[] => {
      const random = new Random(seed, ...key);
      return [random.uniform(), random.normal(), random.integer(0, 1000)];
    };
    expect(draw(1, 'gun', 3)).toEqual(draw(1, 'gun', 3));
    expect(draw(1, 'gun', 3)).not.toEqual(draw(1, 'gun', 4));
    expect(draw(1, 'gun', 3)).not.toEqual(draw(2, 'gun', 3));
  });

  it('has normal deviates of mean 0 and deviation 1', () => {
    const random = new Random(7, 'normal');
    const count = 100_000;
    let sum = 0;
    let squares = 0;
    let beyond = 0;
    for (let draw = 0; draw < count; draw++) {
      const value = random.normal();
      sum += value;
      squares += value * value;
      if (Math.abs(value) > 1.959964) beyond++;
    }
    expect(sum / count).toBeCloseTo(0, 1);
    expect(squares / count).toBeCloseTo(1, 1);
    expect(beyond / count).toBeCloseTo(0.05, 2);
  });

  it('picks by weight', () => {
    const random = new Random(3, 'weights');
    const seen = { often: 0, seldom: 0, never: 0 };
    for (let draw = 0; draw < 10_000; draw++) seen[random.weighted({ often: 3, seldom: 1, never: 0 })]++;
    expect(seen.never).toBe(0);
    expect(seen.often / 10_000).toBeCloseTo(0.75, 1);
  });

  it('refuses to pick from nothing', () => {
    const random = new Random(1);
    expect(() => random.pick([])).toThrow(RangeError);
    expect(() => random.weighted({ nothing: 0 })).toThrow(RangeError);
  });
});
