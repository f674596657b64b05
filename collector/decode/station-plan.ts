import {
  CHANNEL_STEPS,
  CHANNELS,
  type Conversion,
  MOST_STEPS,
  type Plant,
  type ReferenceState,
  toDin1343,
} from '../contract/index.ts';

/** What the plant file says of one channel of one station, ready for use on every reading. */
export interface ChannelPlan {
  /** From the sensor's reference state to DIN 1343; 1 for all that is no volume flow. */
  readonly factor: number;
  /** Whole steps of the channel's resolution in one canonical unit. */
  readonly steps: number;
  /** Lowest and highest possible value, in steps, both possible. */
  readonly lowest: number;
  readonly highest: number;
}

export interface StationPlan {
  readonly id: string;
  /** By channel index. */
  readonly channels: readonly ChannelPlan[];
}

interface Fitting {
  readonly reference?: ReferenceState | undefined;
  readonly range?: readonly [number, number] | undefined;
}

const inSteps = (value: number, steps: number): number =>
  Math.max(-MOST_STEPS, Math.min(MOST_STEPS, Math.round(value * steps)));

/**
 * Share of its span by which a sensor that begins at 0 may read below it: that is its zero, and kept as it is.
 * Source: own choice: some times the error of common sensors, which is stated as 1 % of span or less.
 */
const ZERO_SHARE = 0.02;

const planChannel = (index: number, fitting: Fitting | undefined): ChannelPlan => {
  const channel = CHANNELS[index];
  const steps = CHANNEL_STEPS[index] ?? 1;
  const [low, high] = fitting?.range ?? channel?.range ?? [-MOST_STEPS, MOST_STEPS];
  return {
    factor: channel?.normalVolume && fitting?.reference ? toDin1343(fitting.reference) : 1,
    steps,
    lowest: inSteps(low === 0 ? -ZERO_SHARE * high : low, steps),
    highest: inSteps(high, steps),
  };
};

/** Plans of all guns and air points of a plant, by id. */
export function planStations(plant: Plant): ReadonlyMap<string, StationPlan> {
  const plans = new Map<string, StationPlan>();
  for (const entry of [...plant.guns, ...plant.air]) {
    const fitted: Readonly<Partial<Record<string, Fitting>>> = entry.channels ?? {};
    plans.set(entry.id, {
      id: entry.id,
      channels: CHANNELS.map((channel, index) => planChannel(index, fitted[channel.name])),
    });
  }
  return plans;
}

/**
 * A value as sent, in whole steps of its channel's resolution: unit and reference state converted, rounded once.
 *
 * @returns steps, or `NaN` where the result lies outside the channel's limits (or is not finite)
 */
export function toSteps(plan: ChannelPlan, conversion: Conversion, value: number): number {
  const steps = Math.round((value * conversion.scale + conversion.offset) * plan.factor * plan.steps);
  // Negated so that NaN fails it; adding 0 turns -0 into 0.
  return !(steps >= plan.lowest && steps <= plan.highest) ? Number.NaN : steps + 0;
}
