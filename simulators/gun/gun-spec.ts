import type { Channel } from '../../collector/contract/channels.ts';
import type { AirLine } from '../physics/air-line.ts';
import { nozzleConductance } from '../physics/restriction.ts';
import { liftedPowder, lossForExcess, neededAir, type ThroatCurve } from '../physics/throat.ts';
import type { Random } from '../random.ts';

export type OutputMode = 'measured' | 'setpoint' | 'coupled' | 'scale';

/** What a gun is: its pump, lines, limits and sensors. Nothing here changes while it is in use. */
export interface GunSpec {
  readonly id: string;
  readonly name: string;
  readonly booth: number;
  readonly line: number;
  readonly output: OutputMode;
  readonly channels: readonly Channel[];
  readonly throat: ThroatCurve;
  readonly conveying: AirLine;
  readonly supplementary: AirLine;
  /** Fluidizing: Nm³/h for each bar above the bed's head, the head and the pressure that is set, bar. */
  readonly fluidizing: { readonly conductance: number; readonly headBar: number; readonly setBar: number };
  /** Unit's own regulator, bar gauge, and the pressure that its clean inlet filter and droop cost at 1 Nm³/h. */
  readonly inlet: { readonly setBar: number; readonly lossPerNm3h: number };
  readonly hoseFactor: number;
  /** Outputs of the recipes and the total air of each, the usual one first. */
  readonly recipes: readonly { readonly outputGmin: number; readonly totalNm3h: number }[];
  /** The unit keeps total air by itself; otherwise supplementary pressure stays where it was set. */
  readonly holdsTotal: boolean;
  readonly notchBar: number;
  readonly stopBar: number;
  /** A new insert's need at the usual output with the usual powder, and the supplementary air with it. */
  readonly usual: { readonly conveyingNm3h: number; readonly supplementaryNm3h: number };
  /** Loss and excess air at which this gun's insert truly has to go. */
  readonly wearLimit: number;
  readonly wearLimitExcess: number;
  /** Weighted kilograms for which a median insert reaches the loss of 20 % excess air, and that loss. */
  readonly insertLifeKg: number;
  readonly lossAtLife: number;
  /** Deviation of the logarithm of inserts' lives. */
  readonly insertSpread: number;
  /** Reporting: every so many ms while spraying and while idle; slow channels with the next report after so many ms. */
  readonly intervalMs: number;
  readonly idleMs: number;
  readonly slowMs: number;
  /** Clock of the node: readings are stamped to so many ms. */
  readonly stampMs: number;
  /** How much less a cold pump lifts at the start of a shift, and how much more a full box than an empty one, shares. */
  readonly coldShare: number;
  readonly fullBoxShare: number;
}

/** Supplementary air that always flows, m3/h. Source: own choice, because units keep a little to clear the tap. */
const LEAST_SUPPLEMENTARY_NM3H = 0.3;

/** Supplementary air that goes with some conveying air when the total is held. */
export function heldSupplementary(totalNm3h: number, conveyingNm3h: number): number {
  return Math.max(LEAST_SUPPLEMENTARY_NM3H, totalNm3h - conveyingNm3h);
}

/** A new insert's need at an output when the total is held: conveying and supplementary air, Nm³/h. */
export function needAtTotal(
  throat: ThroatCurve,
  outputGmin: number,
  totalNm3h: number,
): { conveyingNm3h: number; supplementaryNm3h: number } {
  let supplementaryNm3h = totalNm3h / 2;
  let conveyingNm3h = 0;
  for (let step = 0; step < 12; step++) {
    conveyingNm3h = neededAir(throat, outputGmin, supplementaryNm3h);
    supplementaryNm3h = heldSupplementary(totalNm3h, conveyingNm3h);
  }
  return { conveyingNm3h, supplementaryNm3h };
}

export interface GunHabits {
  readonly output: OutputMode;
  readonly channels: readonly Channel[];
  readonly recipes: number;
  readonly intervalMs: number;
  readonly idleMs: number;
  readonly slowMs: number;
  readonly lifeSprayHours: number;
  readonly insertSpread: number;
  /** How far a gun strays from the hall's make: 0 not at all, 1 as far as guns of all makes. */
  readonly gunSpread: number;
}

/** The pump that a hall has bought: its curve and the bore of its motive nozzle, mm. */
export interface PumpMake {
  readonly throat: ThroatCurve;
  readonly nozzleMm: number;
}

/** Bore of a motive nozzle, mm. Source: own choice, because makes differ. */
const NOZZLE_MM = [1.25, 1.42] as const;

/**
 * Draws the curve of a pump of some make. Source: own choice, because makes differ: bores and curves lie within the usual working range of
 * manual guns (50–400 g/min at 1–4 Nm³/h conveying air and 0.4–3.5 bar; common practice, no source).
 */
function drawThroat(random: Random): ThroatCurve {
  return {
    thresholdNm3h: random.uniform(0.4, 0.7),
    supplementaryShift: random.uniform(0.05, 0.1),
    kneeNm3h: random.uniform(0.25, 0.55),
    bend: random.uniform(0.7, 1.6),
    slope: random.uniform(150, 205),
    saturationNm3h: random.uniform(4, 7.5),
  };
}

/** Draws the make that a hall has bought. */
export function drawMake(random: Random): PumpMake {
  return { throat: drawThroat(random), nozzleMm: random.uniform(...NOZZLE_MM) };
}

/** A curve `share` of the way from one to another. */
function between(from: ThroatCurve, to: ThroatCurve, share: number): ThroatCurve {
  return {
    thresholdNm3h: mix(from.thresholdNm3h, to.thresholdNm3h, share),
    supplementaryShift: mix(from.supplementaryShift, to.supplementaryShift, share),
    kneeNm3h: mix(from.kneeNm3h, to.kneeNm3h, share),
    bend: mix(from.bend, to.bend, share),
    slope: mix(from.slope, to.slope, share),
    saturationNm3h: mix(from.saturationNm3h, to.saturationNm3h, share),
  };
}

const mix = (from: number, to: number, share: number): number => from + share * (to - from);

/**
 * Draws one gun of a hall. Source: own choice, because settings lie within the usual working range of manual guns (3–5.5 Nm³/h total
 * air; common practice, no source).
 *
 * @param make what the hall has bought
 */
export function drawGun(
  random: Random,
  id: string,
  name: string,
  booth: number,
  line: number,
  make: PumpMake,
  habits: GunHabits,
): GunSpec {
  const throat = between(make.throat, drawThroat(random), habits.gunSpread);
  const usualOutput = 5 * Math.round(liftedPowder(throat, random.uniform(1.5, 2.4), 1.8) / 5);
  const total = random.uniform(3.7, 4.6);
  const ratios = [1, random.uniform(0.6, 0.78), random.uniform(1.15, 1.3), random.uniform(0.8, 0.92)];
  const recipes = ratios.slice(0, habits.recipes).map((ratio) => ({
    outputGmin: 5 * Math.round((usualOutput * ratio) / 5),
    totalNm3h: total * (0.8 + 0.2 * ratio),
  }));
  const usual = needAtTotal(throat, usualOutput, total);
  const wearLimitExcess = random.lognormal(0.2, 0.2);
  const loss = (excess: number): number => lossForExcess(throat, usualOutput, usual.supplementaryNm3h, excess);
  return {
    id,
    name,
    booth,
    line,
    output: habits.output,
    channels: habits.channels,
    throat,
    conveying: {
      conductance: nozzleConductance(mix(make.nozzleMm, random.uniform(...NOZZLE_MM), habits.gunSpread), 0.95),
      criticalRatio: random.uniform(0.28, 0.46),
      filterLoss: random.uniform(0.03, 0.06),
    },
    supplementary: {
      conductance: nozzleConductance(random.uniform(1.0, 1.25), 0.9),
      criticalRatio: random.uniform(0.3, 0.45),
      filterLoss: random.uniform(0.02, 0.05),
    },
    fluidizing: {
      conductance: random.uniform(2.6, 4),
      headBar: random.uniform(0.03, 0.06),
      setBar: random.uniform(0.45, 0.8),
    },
    inlet: { setBar: random.uniform(4.9, 5.6), lossPerNm3h: random.uniform(0.015, 0.03) },
    hoseFactor: random.uniform(0.011, 0.02),
    recipes,
    holdsTotal: random.chance(0.5),
    notchBar: random.pick([0.05, 0.1]),
    stopBar: random.uniform(3.6, 4.2),
    usual,
    wearLimit: loss(wearLimitExcess),
    wearLimitExcess,
    insertLifeKg: habits.lifeSprayHours * usualOutput * 0.06,
    lossAtLife: loss(0.2),
    insertSpread: habits.insertSpread,
    intervalMs: habits.intervalMs,
    idleMs: habits.idleMs,
    slowMs: habits.slowMs,
    stampMs: random.pick([1, 100, 1000]),
    coldShare: random.uniform(0, 0.05),
    fullBoxShare: random.uniform(-0.005, 0.03),
  };
}
