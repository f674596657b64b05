import type { Random } from '../random.ts';

const DAY_MS = 86_400_000;

/** Weather over a hall's span: temperature for the air, and a slow common effect on how powder flows. */
export class Weather {
  readonly #start: number;
  readonly #effects: Float64Array;
  readonly #temperatures: Float64Array;

  /**
   * @param spread deviation of the common effect on the pumping effect, share
   * Source: own choice, because common practice only says that weather moves several guns together: correlation over 3 days.
   */
  constructor(random: Random, startMs: number, endMs: number, spread: number) {
    const days = Math.ceil((endMs - startMs) / DAY_MS) + 2;
    this.#start = startMs;
    this.#effects = new Float64Array(days);
    this.#temperatures = new Float64Array(days);
    const keep = Math.exp(-1 / 3);
    let effect = random.normal(0, spread);
    let warmth = random.normal(0, 3);
    for (let day = 0; day < days; day++) {
      effect = effect * keep + random.normal(0, spread * Math.sqrt(1 - keep * keep));
      warmth = warmth * keep + random.normal(0, 3 * Math.sqrt(1 - keep * keep));
      const season = Math.cos(((startMs + day * DAY_MS) / DAY_MS / 365.25) * 2 * Math.PI - 3.3);
      this.#effects[day] = effect;
      this.#temperatures[day] = 11 + 10 * season + warmth;
    }
  }

  #at(values: Float64Array, timeMs: number): number {
    const place = Math.max(0, Math.min(values.length - 1.001, (timeMs - this.#start) / DAY_MS));
    const day = Math.floor(place);
    return values[day]! + (values[day + 1]! - values[day]!) * (place - day);
  }

  /** Factor on the pumping effect of every gun in the hall. */
  effect(timeMs: number): number {
    return Math.exp(this.#at(this.#effects, timeMs));
  }

  outsideCel(timeMs: number): number {
    return this.#at(this.#temperatures, timeMs) + 4 * Math.sin(((timeMs % DAY_MS) / DAY_MS) * 2 * Math.PI - 2);
  }

  /** Air temperature in the hall at the guns, Cel. */
  hallCel(timeMs: number): number {
    return 21 + 0.25 * (this.outsideCel(timeMs) - 11);
  }
}
