import type { Random } from '../random.ts';

/** Something that happens to the air of every gun on a line. */
export interface SupplyEvent {
  /** `sag`: line pressure falls by `size` bar; `low-setting`: the same on purpose; `wet`: pumping effect falls by the share `size`. */
  readonly kind: 'sag' | 'low-setting' | 'wet';
  readonly start: number;
  readonly end: number;
  readonly size: number;
}

/** How long an event takes to come and to go, ms. Source: own choice, because receivers and dryers are slow. */
const RAMP_MS = 20 * 60_000;

/** Share of an event that is felt at a time: it comes and goes over 20 minutes. */
function share(event: SupplyEvent, timeMs: number): number {
  if (timeMs <= event.start || timeMs >= event.end) return 0;
  return Math.min(1, (timeMs - event.start) / RAMP_MS, (event.end - timeMs) / RAMP_MS);
}

/**
 * Compressed air of one line: compressor cycles between two pressures, load of the hall by the hour, events.
 * Source: own choice, because figures differ from shop to shop: 6.4–7.2 bar, a band of 0.3–0.6 bar, cycles of 3–12 minutes.
 */
export class AirSupply {
  readonly #random: { base: number; band: number; periodMs: number; phaseMs: number; dew: number };
  readonly #events: readonly SupplyEvent[];

  constructor(random: Random, events: readonly SupplyEvent[]) {
    this.#random = {
      base: random.uniform(6.4, 7.2),
      band: random.uniform(0.3, 0.6),
      periodMs: random.uniform(3, 12) * 60_000,
      phaseMs: random.uniform(0, 12) * 60_000,
      dew: random.uniform(1, 5),
    };
    this.#events = events;
  }

  /** Line pressure, bar gauge. */
  lineBar(timeMs: number): number {
    const line = this.#random;
    const cycle = (((timeMs + line.phaseMs) % line.periodMs) + line.periodMs) % line.periodMs;
    const part = cycle / line.periodMs;
    const saw = part < 0.7 ? 0.5 - part / 0.7 : (part - 0.7) / 0.3 - 0.5;
    const load = 0.06 * Math.sin((timeMs / 3_600_000) * 1.7 + line.dew);
    let pressure = line.base + line.band * saw + load;
    for (const event of this.#events) if (event.kind !== 'wet') pressure -= event.size * share(event, timeMs);
    return Math.max(0, pressure);
  }

  /** Pressure dew point, Cel. */
  dewpointCel(timeMs: number, outsideCel: number): number {
    let dew = this.#random.dew + 0.08 * (outsideCel - 15);
    for (const event of this.#events) if (event.kind === 'wet') dew += 14 * share(event, timeMs);
    return dew;
  }

  /** What the air does to every pump on the line, as a factor on the pumping effect. */
  effect(timeMs: number): number {
    let factor = 1;
    for (const event of this.#events) if (event.kind === 'wet') factor *= 1 - event.size * share(event, timeMs);
    return factor;
  }
}
