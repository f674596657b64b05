import { z } from 'zod';
import { PART_IDS } from '../../collector/contract/index.ts';

/** A rate per gun and year with its confidence limits of 95 %. */
const Rate = z.strictObject({ value: z.number(), low: z.number(), high: z.number() });

/** One thing that is looked at on a gun, and what it may and does take of the promise. */
const PromisedSignal = z.strictObject({
  signal: z.string(),
  /** Detector and its limit, in words with figures. */
  detector: z.string(),
  kind: z.enum(['step', 'ramp']),
  /** Share of the promise that it may use, 0 to 1. */
  share: z.number(),
  /** False alarms per gun and year by run-length theory with its present limit. */
  perGunYear: z.number(),
  /** What the limit was corrected for. */
  corrections: z.array(z.string()),
});
export type PromisedSignal = z.infer<typeof PromisedSignal>;

/** What theory says of the limits in force. */
export const DesignedPromise = z.strictObject({
  signals: z.array(PromisedSignal),
  /** All of a gun's signals together: rates add up. */
  perGunYear: z.number(),
});
export type DesignedPromise = z.infer<typeof DesignedPromise>;

/** What simulated healthy guns gave. */
export const SimulatedPromise = z.strictObject({
  gunYears: z.number(),
  sprayHours: z.number(),
  halls: z.number().int(),
  firstSeed: z.number().int(),
  /** Findings against a part that was not worth a visit. */
  wrong: z.number().int(),
  byCause: z.array(z.strictObject({ cause: z.enum(PART_IDS), wrong: z.number().int() })),
  perGunYear: Rate,
});
export type SimulatedPromise = z.infer<typeof SimulatedPromise>;

/** What people judged here; no rate below ten gun-years. */
export const ObservedPromise = z.strictObject({
  gunYears: z.number(),
  /** Findings against a part by what became of them. */
  wrong: z.number().int(),
  right: z.number().int(),
  /** Nobody can tell, or still open. */
  notJudged: z.number().int(),
  enough: z.boolean(),
  perGunYear: Rate.nullable(),
});
export type ObservedPromise = z.infer<typeof ObservedPromise>;
