import type { Random } from '../random.ts';

/** The powder box of a gun: falls while spraying, is refilled, gets reclaimed powder, may run empty or bridge. */
export class PowderBox {
  readonly #random: Random;
  readonly #emptyChance: number;
  #refillAt: number;
  massKg: number;
  /** Pulls for which the powder goes on bridging, and how much still comes. */
  #bridgedPulls = 0;
  #bridgedShare = 1;
  readonly #bridgeChance: number;
  /** When it bridged or was empty, epoch ms. */
  readonly troubles: { readonly kind: 'bridging-box' | 'empty-box'; readonly time: number }[] = [];
  #low = false;

  /**
   * @param emptyChance chance that nobody looks before the box is empty, each time it gets low
   * @param bridgeChance chance that powder bridges, each pull
   */
  constructor(random: Random, emptyChance: number, bridgeChance: number) {
    this.#random = random;
    this.#emptyChance = emptyChance;
    this.#bridgeChance = bridgeChance;
    this.massKg = random.uniform(12, 24);
    this.#refillAt = random.uniform(3, 8);
  }

  /** Before a pull: refills and knocks as people do. Returns the share of the usual powder that comes. */
  prepare(timeMs: number): number {
    const random = this.#random;
    if (this.massKg < this.#refillAt) {
      this.massKg = random.uniform(18, 25);
      this.#refillAt = random.chance(this.#emptyChance) ? 0.4 : random.uniform(3, 8);
    } else if (random.chance(0.01)) this.massKg += random.uniform(0.3, 2);
    if (this.#bridgedPulls > 0) {
      this.#bridgedPulls--;
      return this.#bridgedShare;
    }
    if (random.chance(this.#bridgeChance)) {
      this.#bridgedPulls = random.integer(2, 6);
      this.#bridgedShare = random.uniform(0.3, 0.75);
      this.troubles.push({ kind: 'bridging-box', time: timeMs });
      return this.#bridgedShare;
    }
    const low = this.massKg < 0.8;
    if (low && !this.#low) this.troubles.push({ kind: 'empty-box', time: timeMs });
    this.#low = low;
    return low ? Math.max(0, (this.massKg - 0.2) / 0.6) : 1;
  }

  take(kilograms: number): void {
    this.massKg = Math.max(0.05, this.massKg - kilograms);
  }

  /** A powder change: another box. */
  exchange(): void {
    this.massKg = this.#random.uniform(8, 24);
    this.#bridgedPulls = 0;
  }
}
