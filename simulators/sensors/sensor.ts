import type { Random } from '../random.ts';

/** What a sensor of some channel is like when nothing is wrong with it. */
export interface SensorKind {
  /** Standard deviation of one reading, canonical unit, and its part that grows with the value. */
  readonly noise: number;
  readonly relativeNoise: number;
  /** Step of the reported value. */
  readonly resolution: number;
  /** Spread of zero and gain between sensors as fitted. */
  readonly zeroSpread: number;
  readonly gainSpread: number;
}

/** Share of readings that are stray. Source: own choice, because loggers have one now and then. */
const STRAY = 0.0003;

/** One fitted sensor with its zero, gain and faults. Set by the hall as faults come and go; read once a reading. */
export class Sensor {
  readonly #kind: SensorKind;
  readonly #random: Random;
  readonly #digits: number;
  /** Noise of this sensor against its kind's. */
  readonly #noisiness: number;
  zero: number;
  gain: number;
  /** Added by faults. */
  extraZero = 0;
  extraGain = 1;
  /** The value that it repeats, or NaN while it follows. */
  stuckAt = Number.NaN;
  /** Sent instead of every value while the sensor is broken, or NaN. */
  broken = Number.NaN;
  #last = 0;
  #untilStuck = -1;

  constructor(kind: SensorKind, random: Random) {
    this.#kind = kind;
    this.#random = random;
    // Some report coarser steps than others.
    this.#digits = 1 / (kind.resolution * random.pick([1, 1, 1, 2]));
    this.#noisiness = random.lognormal(1, 0.25);
    this.zero = random.normal(0, kind.zeroSpread);
    this.gain = 1 + random.normal(0, kind.gainSpread);
  }

  /** What the sensor says of a true value, with noise and quantised as it reports. */
  read(truth: number): number {
    if (!Number.isNaN(this.broken)) return this.broken;
    if (!Number.isNaN(this.stuckAt)) return this.stuckAt;
    const kind = this.#kind;
    const exact = truth * this.gain * this.extraGain + this.zero + this.extraZero;
    let noisy = exact + this.#random.normal() * this.#noisiness * (kind.noise + kind.relativeNoise * Math.abs(exact));
    if (this.#random.chance(STRAY)) noisy *= this.#random.uniform(0.5, 1.6);
    this.#last = Math.round(noisy * this.#digits) / this.#digits;
    if (this.#untilStuck >= 0 && this.#untilStuck-- === 0) this.stuckAt = this.#last;
    return this.#last;
  }

  /** Lets the sensor repeat its value after some more readings: it may stick while spraying or idle. */
  stick(): void {
    if (this.#untilStuck < 0 && Number.isNaN(this.stuckAt)) this.#untilStuck = this.#random.integer(0, 40);
  }

  /** A new sensor in its place: another zero and gain, no faults. */
  exchange(): void {
    this.zero = this.#random.normal(0, this.#kind.zeroSpread);
    this.gain = 1 + this.#random.normal(0, this.#kind.gainSpread);
    this.extraZero = 0;
    this.extraGain = 1;
    this.stuckAt = Number.NaN;
    this.#untilStuck = -1;
    this.broken = Number.NaN;
  }
}

/**
 * Usual sensors of each numeric channel. Source: own choice, because these are round figures of common industrial
 * sensors: 0.25 % of a 10 bar gauge, 1 % of a thermal flow meter, 10 g of a box scale.
 */
export const SENSOR_KINDS = {
  'conveying/pressure': { noise: 0.006, relativeNoise: 0.003, resolution: 0.01, zeroSpread: 0.004, gainSpread: 0.004 },
  'conveying/flow': { noise: 0.012, relativeNoise: 0.008, resolution: 0.02, zeroSpread: 0.008, gainSpread: 0.012 },
  'conveying/ripple': { noise: 0.0008, relativeNoise: 0.16, resolution: 0.001, zeroSpread: 0.0005, gainSpread: 0.05 },
  'supplementary/pressure': {
    noise: 0.006,
    relativeNoise: 0.003,
    resolution: 0.01,
    zeroSpread: 0.004,
    gainSpread: 0.004,
  },
  'supplementary/flow': { noise: 0.012, relativeNoise: 0.008, resolution: 0.02, zeroSpread: 0.008, gainSpread: 0.012 },
  'fluidizing/pressure': { noise: 0.004, relativeNoise: 0.004, resolution: 0.01, zeroSpread: 0.003, gainSpread: 0.004 },
  'fluidizing/flow': { noise: 0.012, relativeNoise: 0.01, resolution: 0.02, zeroSpread: 0.008, gainSpread: 0.012 },
  'supply/pressure': { noise: 0.012, relativeNoise: 0, resolution: 0.01, zeroSpread: 0.015, gainSpread: 0.003 },
  'supply/temperature': { noise: 0.05, relativeNoise: 0, resolution: 0.1, zeroSpread: 0.2, gainSpread: 0 },
  'supply/dewpoint': { noise: 0.1, relativeNoise: 0, resolution: 0.1, zeroSpread: 0.4, gainSpread: 0 },
  'powder/output': { noise: 1.5, relativeNoise: 0.035, resolution: 1, zeroSpread: 0.8, gainSpread: 0.025 },
  'powder/mass': { noise: 0.004, relativeNoise: 0, resolution: 0.01, zeroSpread: 0, gainSpread: 0.001 },
} as const satisfies Record<string, SensorKind>;

export type NumericChannel = keyof typeof SENSOR_KINDS;
