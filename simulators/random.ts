import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** Mixes a key into 32 bits (FNV-1a, then the finaliser of MurmurHash3), so that near keys give far seeds. */
export function mixKey(seed: number, key: readonly (string | number)[]): number {
  let hash = (0x811c9dc5 ^ seed) >>> 0;
  const text = key.join('/');
  for (let index = 0; index < text.length; index++) hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193) >>> 0;
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b) >>> 0;
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35) >>> 0;
  return (hash ^ (hash >>> 16)) >>> 0;
}

/**
 * A stream of random numbers that a seed and a key fix wholly: the same seed and key give the same numbers,
 * another key gives a stream of its own, so that adding a gun does not change the others.
 */
export class Random {
  readonly #generator;
  #spare = 0;
  #hasSpare = false;

  constructor(seed: number, ...key: (string | number)[]) {
    this.#generator = xoroshiro128plus(mixKey(seed, key));
    for (let skip = 0; skip < 16; skip++) this.#generator.next();
  }

  /** Uniform in [low, high). */
  uniform(low = 0, high = 1): number {
    return low + ((this.#generator.next() >>> 0) / 4294967296) * (high - low);
  }

  /** Whole number, both ends included. */
  integer(low: number, high: number): number {
    return low + Math.floor(this.uniform() * (high - low + 1));
  }

  chance(probability: number): boolean {
    return this.uniform() < probability;
  }

  /** Normal deviate (Box and Muller 1958). */
  normal(mean = 0, deviation = 1): number {
    if (this.#hasSpare) {
      this.#hasSpare = false;
      return mean + deviation * this.#spare;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    const angle = 2 * Math.PI * this.uniform();
    this.#spare = radius * Math.sin(angle);
    this.#hasSpare = true;
    return mean + deviation * radius * Math.cos(angle);
  }

  /** Lognormal deviate with this median; `sigma` is the deviation of its logarithm. */
  lognormal(median: number, sigma: number): number {
    return median * Math.exp(this.normal(0, sigma));
  }

  /** Exponential waiting time with this mean. */
  exponential(mean: number): number {
    return -mean * Math.log(1 - this.uniform());
  }

  pick<T>(choices: readonly T[]): T {
    if (choices.length === 0) throw new RangeError('nothing to pick from');
    return choices[this.integer(0, choices.length - 1)]!;
  }

  /** One key of `weights`, in proportion to its weight. */
  weighted<K extends string>(weights: Readonly<Partial<Record<K, number>>>): K {
    const entries = Object.entries(weights) as [K, number][];
    const total = entries.reduce((sum, [, weight]) => sum + weight, 0);
    if (!(total > 0)) throw new RangeError('weights must sum to more than 0');
    let left = this.uniform(0, total);
    for (const [key, weight] of entries) {
      left -= weight;
      if (left < 0) return key;
    }
    return entries[entries.length - 1]![0];
  }
}
