import type { RunTable } from '../../collector/contract/index.ts';

/** What a gun's sensors show when nothing flows: running means with their counts. Part of the pipeline's state. */
export interface ZeroTracker {
  conveyingFlow: RunningZero;
  conveyingPressure: RunningZero;
  supplementaryFlow: RunningZero;
  supplementaryPressure: RunningZero;
  output: RunningZero;
}

export interface RunningZero {
  mean: number;
  /** Mean square about the mean: how steady the zero is. */
  variance: number;
  count: number;
  /** Share of idle times, lately, that were off by most of the tolerance on the mean's side. */
  share: number;
  /** Since when it has been off by more than its tolerance; 0 while it is not. */
  since: number;
  /** Idle times in a row that lay elsewhere on one side, their mean, and when the first of them was. */
  run: number;
  runMean: number;
  runSince: number;
}

export const ZERO_CHANNELS = {
  conveyingFlow: 'conveying/flow',
  conveyingPressure: 'conveying/pressure',
  supplementaryFlow: 'supplementary/flow',
  supplementaryPressure: 'supplementary/pressure',
  output: 'powder/output',
} as const;
export type ZeroField = keyof typeof ZERO_CHANNELS;
export const ZERO_FIELDS = Object.keys(ZERO_CHANNELS) as readonly ZeroField[];

/**
 * Zero from which a sensor is worth a look, in its unit. Source: own choice, some 2.5 % of a usual conveying air of
 * 2 m3/h, 3 % of 1.5 bar, 4 % of 150 g/min, above the noise that the contract's resolution allows.
 */
export const ZERO_TOLERANCE: Record<ZeroField, number> = {
  conveyingFlow: 0.06,
  conveyingPressure: 0.045,
  supplementaryFlow: 0.06,
  supplementaryPressure: 0.08,
  output: 10,
};
/** A pressure as people set while hardly any air flows, bar and m3/h, is held by a closed valve behind the tap, and no zero. Source: handbook section 1, from 0.4 bar on; the flow is own choice, a tenth of a gun's. */
const HELD = { bar: 0.4, nm3h: 0.3 };
/** So many idle times in a row that far from the mean and that near to each other (shares of the tolerance) are no glitches: the zero has moved. Source: own choice. */
const MOVED = { times: 5, off: 0.5, apart: 0.75 };
/** Idle times that a running zero remembers. Source: own choice, about an hour of work. */
const MEMORY = 30;

const fresh = (): RunningZero => ({
  mean: 0,
  variance: 0,
  count: 0,
  share: 0,
  since: 0,
  run: 0,
  runMean: 0,
  runSince: 0,
});

export function newZeroTracker(): ZeroTracker {
  return {
    conveyingFlow: fresh(),
    conveyingPressure: fresh(),
    supplementaryFlow: fresh(),
    supplementaryPressure: fresh(),
    output: fresh(),
  };
}

function learn(zero: RunningZero, value: number, time: number, tolerance: number, airs: boolean): void {
  if (!Number.isFinite(value)) return;
  zero.count++;
  const weight = 1 / Math.min(zero.count, MEMORY);
  const off = value - zero.mean;
  zero.mean += weight * off;
  zero.variance += weight * (off * off - zero.variance);
  const beyond = value * Math.sign(zero.mean) > 0.7 * tolerance ? 1 : 0;
  zero.share += weight * (beyond - zero.share);
  if (airs) zero.run = 0;
  const moved = !airs && followRun(zero, off, value, time, tolerance);
  // Raised late and given up late, so that a zero near its tolerance does not chatter.
  const isOff =
    zero.since === 0
      ? Math.abs(zero.mean) >= tolerance && zero.share > 0.75
      : Math.abs(zero.mean) >= 0.6 * tolerance && zero.share > 0.4;
  if (!isOff) zero.since = 0;
  else if (zero.since === 0) zero.since = moved ? zero.runSince : time;
}

/**
 * A zero that jumps is known after a few idle times, not after as many as a mean remembers.
 *
 * @param off of the value from the mean before it
 * @returns whether the zero moved now
 */
function followRun(zero: RunningZero, off: number, value: number, time: number, tolerance: number): boolean {
  const far = zero.count > KNOWN && Math.abs(off) > MOVED.off * tolerance;
  if (!far || Math.abs(value - zero.runMean) > MOVED.apart * tolerance) zero.run = 0;
  if (!far) return false;
  if (zero.run === 0) {
    zero.runMean = 0;
    zero.runSince = time;
  }
  zero.run++;
  zero.runMean += (value - zero.runMean) / zero.run;
  if (zero.run < MOVED.times) return false;
  zero.mean = zero.runMean;
  zero.share = Math.abs(zero.mean) > 0.7 * tolerance ? 1 : 0;
  zero.run = 0;
  return true;
}

/**
 * Takes in the idle time before run `row`; idle times with fewer than two readings say nothing.
 *
 * @param outputMeasured false where the output is a number that the recipe or the air gives: that has no zero
 */
export function learnZeros(tracker: ZeroTracker, table: RunTable, row: number, outputMeasured: boolean): void {
  const c = table.columns;
  if (!(c.idleSamples[row]! >= 2)) return;
  const time = c.start[row]!;
  learnSide(tracker, false, c.zeroConveyingFlow[row]!, c.zeroConveyingPressure[row]!, time);
  learnSide(tracker, true, c.zeroSupplementaryFlow[row]!, c.zeroSupplementaryPressure[row]!, time);
  if (outputMeasured) learn(tracker.output, c.zeroOutput[row]!, time, ZERO_TOLERANCE.output, false);
}

/** Flow and pressure of one line at one idle time: both together are air on its way out, or a valve that passes, and move no zero at once. */
function learnSide(tracker: ZeroTracker, beside: boolean, flow: number, pressure: number, time: number): void {
  // Named one by one: names put together anew with every run took as long as all else.
  const flowOff = beside ? ZERO_TOLERANCE.supplementaryFlow : ZERO_TOLERANCE.conveyingFlow;
  const pressureOff = beside ? ZERO_TOLERANCE.supplementaryPressure : ZERO_TOLERANCE.conveyingPressure;
  const held = pressure >= HELD.bar && flow < HELD.nm3h;
  const airs = !held && flow > MOVED.off * flowOff && pressure > MOVED.off * pressureOff;
  learn(beside ? tracker.supplementaryFlow : tracker.conveyingFlow, flow, time, flowOff, airs);
  if (!held)
    learn(beside ? tracker.supplementaryPressure : tracker.conveyingPressure, pressure, time, pressureOff, airs);
}

/** True while any zero is off by more than its tolerance, for however long. */
export function isAnyOff(tracker: ZeroTracker): boolean {
  const { conveyingFlow, conveyingPressure, supplementaryFlow, supplementaryPressure, output } = tracker;
  return (
    conveyingFlow.since !== 0 ||
    conveyingPressure.since !== 0 ||
    supplementaryFlow.since !== 0 ||
    supplementaryPressure.since !== 0 ||
    output.since !== 0
  );
}

const PER_ZERO = 8;

/** Writes a tracker down as numbers. */
export function packZeros(tracker: ZeroTracker, into: { push(value: number): void }): void {
  for (const field of ZERO_FIELDS) {
    const zero = tracker[field];
    into.push(zero.mean);
    into.push(zero.variance);
    into.push(zero.count);
    into.push(zero.share);
    into.push(zero.since);
    into.push(zero.run);
    into.push(zero.runMean);
    into.push(zero.runSince);
  }
}

/** Brings a tracker to what was written down from `at` on. */
export function unpackZeros(tracker: ZeroTracker, from: Float64Array, at: number): void {
  unpackZero(tracker.conveyingFlow, from, at);
  unpackZero(tracker.conveyingPressure, from, at + PER_ZERO);
  unpackZero(tracker.supplementaryFlow, from, at + 2 * PER_ZERO);
  unpackZero(tracker.supplementaryPressure, from, at + 3 * PER_ZERO);
  unpackZero(tracker.output, from, at + 4 * PER_ZERO);
}

function unpackZero(zero: RunningZero, from: Float64Array, at: number): void {
  zero.mean = from[at]!;
  zero.variance = from[at + 1]!;
  zero.count = from[at + 2]!;
  zero.share = from[at + 3]!;
  zero.since = from[at + 4]!;
  zero.run = from[at + 5]!;
  zero.runMean = from[at + 6]!;
  zero.runSince = from[at + 7]!;
}

/** True when air really passes at idle: flow and pressure together are a valve's, not a sensor's (handbook). */
export function valvePasses(tracker: ZeroTracker, side: 'conveying' | 'supplementary'): boolean {
  const flow = side === 'conveying' ? tracker.conveyingFlow : tracker.supplementaryFlow;
  const pressure = side === 'conveying' ? tracker.conveyingPressure : tracker.supplementaryPressure;
  return flow.mean > 0.04 && pressure.mean > 0.03 && flow.count >= 5 && pressure.count >= 5;
}

const SIDES: Readonly<Record<ZeroField, 'conveying' | 'supplementary' | null>> = {
  conveyingFlow: 'conveying',
  conveyingPressure: 'conveying',
  supplementaryFlow: 'supplementary',
  supplementaryPressure: 'supplementary',
  output: null,
};

/** The zero to take off a reading: what is steady at idle and the sensor's own. */
export function zeroOf(tracker: ZeroTracker, field: ZeroField): number {
  const side = SIDES[field];
  return ownZero(tracker[field], side !== null && valvePasses(tracker, side), ZERO_TOLERANCE[field]);
}

/** Zeros to take off one run's readings, m3/h, bar and g/min. */
export interface Zeros {
  conveyingFlow: number;
  conveyingPressure: number;
  supplementaryFlow: number;
  output: number;
}

/** All of `zeroOf` that runs are corrected by, at once: it is asked for with every run. */
export function zerosOf(tracker: ZeroTracker, zeros: Zeros): void {
  const { conveyingFlow, conveyingPressure, supplementaryFlow, output } = ZERO_TOLERANCE;
  const conveying = valvePasses(tracker, 'conveying');
  zeros.conveyingFlow = ownZero(tracker.conveyingFlow, conveying, conveyingFlow);
  zeros.conveyingPressure = ownZero(tracker.conveyingPressure, conveying, conveyingPressure);
  const supplementary = valvePasses(tracker, 'supplementary');
  zeros.supplementaryFlow = ownZero(tracker.supplementaryFlow, supplementary, supplementaryFlow);
  zeros.output = ownZero(tracker.output, false, output);
}

/** Idle times from which a zero is known. Source: own choice. */
const KNOWN = 5;

/** A mean that is off while fewer idle times than this share are off its way is that of single glitches. Source: own choice. */
const GLITCHES = 0.2;

function ownZero({ count, mean, share }: RunningZero, passes: boolean, tolerance: number): number {
  if (count < KNOWN || passes) return 0;
  return Math.abs(mean) > tolerance && share < GLITCHES ? 0 : mean;
}

/** True while the zero of conveying flow or output is not known yet, and may be off by what matters. */
export function zerosUnread({ conveyingFlow, output }: ZeroTracker, outputMeasured: boolean): boolean {
  const unread = ({ count, mean }: RunningZero, tolerance: number): boolean =>
    count === 0 || (count < KNOWN && Math.abs(mean) > tolerance);
  return (
    unread(conveyingFlow, ZERO_TOLERANCE.conveyingFlow) ||
    (outputMeasured && output.count > 0 && unread(output, ZERO_TOLERANCE.output))
  );
}

/** Whether the zero of a field has been off for long enough to say so: ten idle times and an hour. Source: own choice. */
export function isOff(tracker: ZeroTracker, field: ZeroField, now: number): boolean {
  const zero = tracker[field];
  if (zero.count < 10 || zero.since === 0 || now - zero.since < 3_600_000) return false;
  return zeroOf(tracker, field) !== 0;
}
