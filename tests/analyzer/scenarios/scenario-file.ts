import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { z } from 'zod';
import { ACTIONS, CATEGORIES, FOUND } from '../../../collector/contract/index.ts';
import { scenarioNames } from '../../../simulators/index.ts';

/** A moment of the story: share of all working time gone by. */
const Moment = z.number().min(0).max(1);
const FAULTS = [
  'pump-seals',
  'gun-seals',
  'powder-hose',
  'conveying-filter',
  'supplementary-filter',
  'fluidizing-ring',
  'inlet-filter',
  'sensor',
  'no-data',
] as const;

const ToldFault = z.strictObject({
  gun: z.string(),
  cause: z.enum(FAULTS),
  shape: z.enum(['step', 'ramp', 'span']),
  at: Moment,
  size: z.number(),
  /** Ramps: spray hours to that size. */
  sprayHours: z.number().default(0),
  mendAfter: z.number(),
  wrongFirst: z.enum(['pump-insert', 'gun-seals']).nullable().default(null),
  sensor: z
    .strictObject({
      channel: z.enum(['conveying/flow', 'conveying/pressure', 'supplementary/flow']),
      kind: z.enum(['zero', 'gain', 'stuck', 'broken']),
    })
    .optional(),
});

const ToldSupply = z.strictObject({
  kind: z.enum(['sag', 'low-setting']),
  at: Moment,
  hours: z.number(),
  size: z.number(),
});

/** One finding that has to be there. */
const Expected = z.strictObject({
  /** Null: common to several guns, which are then `guns`. */
  gun: z.string().nullable(),
  guns: z.array(z.string()).optional(),
  cause: z.string(),
  category: z.enum(CATEGORIES),
  /** Raised not before this moment, and by so many spray hours of the gun (several guns: of the first) after it. */
  after: Moment,
  withinSprayHours: z.number(),
  cleared: z.boolean(),
  /** Cleared by so many spray hours after the log says that its part was changed. */
  clearedWithinSprayHoursOfChange: z.number().optional(),
  excessAir: z.null().optional(),
  /** How far ln(1 + excess air) as told may be from what the simulated insert really needs, whenever it is told. */
  excessAirOff: z.number().optional(),
});

/** A hall, what happens in it, and what has to be found: plain data, one file a story. */
export const ScenarioFile = z.strictObject({
  story: z.string().meta({ description: 'What happens, and what has to come of it, as a sentence' }),
  scenario: z.enum(['told', ...scenarioNames]),
  seed: z.number().int(),
  weeks: z.number().int().optional(),
  guns: z.number().int().optional(),
  fleet: z
    .array(
      z.strictObject({
        output: z.enum(['measured', 'setpoint', 'coupled', 'scale']),
        fitting: z.enum(['minimal', 'usual', 'all']),
      }),
    )
    .optional(),
  powders: z.number().int().optional(),
  changeChance: z.number().optional(),
  lifeSprayHours: z.number().optional(),
  /** Whether each gun starts with an insert that the log calls new. */
  newAtStart: z.union([z.literal(0), z.literal(1)]).optional(),
  /** Runs before a gun counts as known; as the settings have it when not given. */
  learningRuns: z.number().int().optional(),
  /** Moments at which each gun's insert is changed and logged; by what people see when not given. */
  insertChanges: z.array(Moment).optional(),
  faults: z.array(ToldFault).default([]),
  supply: z.array(ToldSupply).default([]),
  /** Mean number of lots that are not as they should be. */
  badLots: z.number().optional(),
  /** Written down though the hall did nothing of the kind. */
  log: z
    .array(
      z.strictObject({
        gun: z.string(),
        at: Moment,
        part: z.string(),
        action: z.enum(ACTIONS),
        found: z.enum(FOUND).nullable(),
      }),
    )
    .default([]),
  expected: z.strictObject({
    findings: z.array(Expected).default([]),
    /** Causes that no finding may have, beside those expected; `part` stands for every part. */
    none: z.array(z.string()).default([]),
    /** No finding at all beside those expected. */
    nothingElse: z.boolean().default(false),
  }),
});
export type ScenarioFile = z.infer<typeof ScenarioFile>;

/** A story as its file tells it. */
export function readScenario(name: string): ScenarioFile {
  return ScenarioFile.parse(parse(readFileSync(new URL(`./${name}`, import.meta.url), 'utf8')));
}
