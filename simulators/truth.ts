import { z } from 'zod';
import { PART_IDS } from '../collector/contract/parts.ts';

const Time = z.iso.datetime();

/** One pump insert from its fitting to its change. Losses are shares of the pumping effect. */
export const Life = z.strictObject({
  start: Time.meta({ description: 'Fitted; for one already fitted, the start of the data' }),
  end: Time.nullable().meta({ description: 'Changed; null while it is still in' }),
  fittedAtStart: z.boolean().meta({ description: 'Was in the pump already when the data begin' }),
  startLogged: z.boolean().meta({ description: 'The log says when it was fitted' }),
  endLogged: z.boolean(),
  startLoss: z.number(),
  endLoss: z.number(),
  found: z.enum(['good', 'worn', 'failed']).nullable(),
  /** Per shift: state at its end. Spray hours and kilograms count from `start`. */
  curve: z.array(
    z.strictObject({
      time: Time,
      sprayHours: z.number(),
      kilograms: z.number(),
      loss: z.number(),
      excessAir: z.number().nullable(),
    }),
  ),
  /** First time and spray hours at which the loss was at this share of the gun's wear limit; null when never. */
  reached: z.array(z.strictObject({ share: z.number(), time: Time.nullable(), sprayHours: z.number().nullable() })),
  /** Spray hours from `start` to the limit; beyond the change carried on at the last shifts' rate. Null when it cannot be told. */
  limitSprayHours: z.number().nullable(),
});
export type Life = z.infer<typeof Life>;

/** A thing that went wrong with gun, air, powder, sensor or node, and that a finding should name. */
export const TruthEvent = z.strictObject({
  id: z.string(),
  cause: z
    .string()
    .meta({ description: 'As in findings: part, supply-air, powder, sensor:<channel>, sensor:clock, no-data' }),
  guns: z.array(z.string()),
  shape: z.enum(['step', 'ramp', 'span']),
  onset: Time,
  end: Time.nullable(),
  endedBy: z.string().nullable().meta({ description: 'What ended it: a change of the part, by itself, …' }),
  endLogged: z.boolean(),
  size: z.number().meta({ description: 'Largest size reached' }),
  measure: z.string().meta({ description: 'What the size is: excess air, conductance loss, bar, …' }),
  limit: z.number().nullable().meta({ description: 'For ramps: size at which the part truly has to go' }),
  reached70: Time.nullable().meta({ description: 'For ramps: when 70 % of the limit was reached' }),
  /** What the gun sprayed while it lasted (the least of the guns concerned): an event that nobody sprayed in cannot be found. */
  sprayHours: z.number(),
});
export type TruthEvent = z.infer<typeof TruthEvent>;

/** A normal thing that must not raise a finding against a part: none may be raised because of it between `start` and `end`. */
export const Trap = z.strictObject({
  kind: z.string(),
  guns: z.array(z.string()),
  start: Time,
  end: Time,
  note: z.string(),
});
export type Trap = z.infer<typeof Trap>;

const GunTruth = z.strictObject({
  id: z.string(),
  output: z.enum(['measured', 'setpoint', 'coupled', 'scale']),
  channels: z.array(z.string()),
  /** Loss at which this gun's insert truly has to go, and the excess air at its usual output that goes with it. */
  wearLimit: z.number(),
  wearLimitExcessAir: z.number(),
  usualOutput: z.number().meta({ unit: 'g/min' }),
  sprayHours: z.number(),
  kilograms: z.number(),
  lives: z.array(Life),
});

/**
 * `truth.json`: what really happened in a simulated hall, for scoring. The analyzer never sees it. Times are ISO 8601
 * in UTC. `guns[].lives` holds the inserts one after the other; every other fault is in `events`; `traps` are
 * spans in which nothing is wrong with any part. `parts` counts what the log says was changed although it was good.
 */
export const Truth = z.strictObject({
  scenario: z.string(),
  seed: z.number(),
  start: Time,
  end: Time,
  guns: z.array(GunTruth),
  events: z.array(TruthEvent),
  traps: z.array(Trap),
  changes: z.array(
    z.strictObject({
      time: Time,
      gun: z.string(),
      part: z.union([z.enum(PART_IDS), z.string()]),
      action: z.string(),
      logged: z.boolean(),
      cured: z.boolean().meta({ description: 'It ended a fault, or a life past half its limit' }),
    }),
  ),
});
export type Truth = z.infer<typeof Truth>;
