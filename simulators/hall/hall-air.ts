import { Random } from '../random.ts';
import type { SupplyEvent } from './air-supply.ts';
import { AirSupply } from './air-supply.ts';
import { drawLots, type Lot, lotFactor, type Powder } from './powders.ts';
import { Weather } from './weather.ts';

/** How far slow nuisances reach, as deviations in shares of the pumping effect. */
export interface Nuisance {
  readonly day: number;
  readonly shift: number;
  readonly week: number;
  readonly lot: number;
  readonly weather: number;
  readonly pull: number;
}

/** A lot that is not as it should be: a powder trouble that a finding should name. */
export interface BadLot {
  readonly powder: number;
  readonly start: number;
  readonly end: number;
  readonly factor: number;
}

/** What all guns of a hall share: air lines, weather, powders and their lots. */
export class HallAir {
  readonly lines: readonly AirSupply[];
  readonly weather: Weather;
  readonly powders: readonly Powder[];
  readonly nuisance: Nuisance;
  readonly #lots: readonly (readonly Lot[])[];
  readonly #badLots: readonly BadLot[];
  readonly #seed: number;

  constructor(
    seed: number,
    span: { readonly start: number; readonly end: number },
    lines: number,
    powders: readonly Powder[],
    nuisance: Nuisance,
    supplyEvents: readonly (SupplyEvent & { readonly line: number })[],
    badLots: readonly BadLot[],
  ) {
    this.#seed = seed;
    this.powders = powders;
    this.nuisance = nuisance;
    this.#badLots = badLots;
    this.lines = Array.from(
      { length: lines },
      (_, line) =>
        new AirSupply(
          new Random(seed, 'line', line),
          supplyEvents.filter((event) => event.line === line),
        ),
    );
    this.weather = new Weather(new Random(seed, 'weather'), span.start, span.end, nuisance.weather);
    this.#lots = powders.map(({ id }) => drawLots(new Random(seed, 'lots', id), span.start, span.end, nuisance.lot));
  }

  /** Pumping effect of a powder's lot at a time, the powder's own factor included. */
  powderEffect(powder: number, timeMs: number): number {
    let factor = this.powders[powder]!.factor * lotFactor(this.#lots[powder]!, timeMs);
    for (const lot of this.#badLots)
      if (lot.powder === powder && timeMs >= lot.start && timeMs < lot.end) factor *= lot.factor;
    return factor;
  }

  /** Number of the lot in use of a powder. */
  lotOf(powder: number, timeMs: number): number {
    return this.#lots[powder]!.findLastIndex(({ start }) => start <= timeMs);
  }

  /** What a day, its shift and the week do to one gun, for no reason that anybody could name. */
  chance(gun: string, date: string, shift: number, week: number): number {
    const { day: daySpread, shift: shiftSpread, week: weekSpread } = this.nuisance;
    const of = (spread: number, ...key: (string | number)[]): number =>
      spread > 0 ? new Random(this.#seed, 'chance', gun, ...key).normal(0, spread) : 0;
    return Math.exp(of(daySpread, 'day', date) + of(shiftSpread, 'shift', date, shift) + of(weekSpread, 'week', week));
  }
}
