import type { Random } from '../random.ts';

/** A powder as it behaves in a pump. */
export interface Powder {
  readonly id: string;
  readonly name: string;
  /** Powders that wear parts alike. */
  readonly family: string;
  /** Pumping effect with this powder against the usual one; needs differ by up to ±25 %. */
  readonly factor: number;
  /** Wear of a kilogram against the usual powder's. */
  readonly abrasiveness: number;
}

export interface Lot {
  readonly start: number;
  readonly factor: number;
}

const NAMES = [
  ['p-white-11', 'White satin', 'smooth'],
  ['p-sand-24', 'Sand fine texture', 'textured'],
  ['p-blue-35', 'Deep blue gloss', 'smooth'],
  ['p-graphite-42', 'Graphite metallic', 'metallic'],
  ['p-green-53', 'Signal green matt', 'smooth'],
  ['p-cream-66', 'Cream smooth', 'smooth'],
] as const;

/**
 * Invented powders of a hall. The first is the usual one.
 *
 * @param abrasive how rough the roughest is; 1 = all alike
 */
export function drawPowders(random: Random, count: number, abrasive: number): Powder[] {
  return NAMES.slice(0, count).map(([id, name, family], index) => ({
    id,
    name,
    family,
    factor: index === 0 ? 1 : Math.exp(Math.max(-0.22, Math.min(0.22, random.normal(0, 0.1)))),
    abrasiveness:
      name.includes('metallic') || name.includes('texture')
        ? abrasive * random.uniform(0.8, 1.2)
        : random.lognormal(1, 0.1),
  }));
}

/**
 * Lots of one powder over a span: a new one every one to four weeks, each within ±6 % of the powder's own need.
 *
 * @param spread deviation of a lot's effect, share; cut at ±6 %
 */
export function drawLots(random: Random, startMs: number, endMs: number, spread: number): Lot[] {
  const lots: Lot[] = [];
  for (
    let start = startMs - random.uniform(0, 14) * 86_400_000;
    start < endMs;
    start += random.uniform(7, 28) * 86_400_000
  )
    lots.push({ start, factor: Math.exp(Math.max(-0.06, Math.min(0.06, random.normal(0, spread)))) });
  return lots;
}

/** Effect of the lot in use at a time. */
export function lotFactor(lots: readonly Lot[], timeMs: number): number {
  let factor = 1;
  for (const lot of lots) {
    if (lot.start > timeMs) break;
    factor = lot.factor;
  }
  return factor;
}
