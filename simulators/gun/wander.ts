import type { Random } from '../random.ts';
import type { GunSpec } from './gun-spec.ts';

/** Pull to pull the bed stands higher or lower: correlation of one pull with the next. Source: own
 * choice, because it lasts some ten pulls. */
const KEEP = 0.85;
/** A pump and its powder are warm after so long, ms. Source: own choice, because pumps are small. */
const WARM_MS = 15 * 60_000;
/** Powder in a full box, kg. Source: common practice, no source: powder is sold by the 20 to 25 kg. */
const FULL_BOX_KG = 25;

/** What moves the pumping effect of one gun from pull to pull, for no reason that lasts. */
export class Wander {
  readonly #spec: GunSpec;
  readonly #random: Random;
  readonly #spread: number;
  #bed = 0;
  #shiftStart = 0;

  /** @param spread deviation of the wander, share */
  constructor(spec: GunSpec, random: Random, spread: number) {
    this.#spec = spec;
    this.#random = random;
    this.#spread = spread;
  }

  startShift(timeMs: number): void {
    this.#shiftStart = timeMs;
  }

  /** Factor on the pumping effect of the next pull. */
  next(timeMs: number, boxKg: number): number {
    this.#bed = this.#bed * KEEP + this.#random.normal(0, this.#spread * Math.sqrt(1 - KEEP * KEEP));
    const cold = this.#spec.coldShare * Math.exp(-(timeMs - this.#shiftStart) / WARM_MS);
    const full = this.#spec.fullBoxShare * (boxKg / FULL_BOX_KG - 0.5);
    return Math.exp(this.#bed) * (1 - cold) * (1 + full);
  }
}
