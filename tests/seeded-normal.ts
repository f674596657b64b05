import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** Independent standard normal values from a seed (polar method of Marsaglia & Bray, SIAM Review 6, 1964). */
export function seededNormal(seed: number): () => number {
  const generator = xoroshiro128plus(seed);
  let spare = Number.NaN;
  return () => {
    if (!Number.isNaN(spare)) {
      const value = spare;
      spare = Number.NaN;
      return value;
    }
    for (;;) {
      const u = 2 * uniformFloat64(generator) - 1;
      const v = 2 * uniformFloat64(generator) - 1;
      const square = u * u + v * v;
      if (square >= 1 || square === 0) continue;
      const factor = Math.sqrt((-2 * Math.log(square)) / square);
      spare = v * factor;
      return u * factor;
    }
  };
}
