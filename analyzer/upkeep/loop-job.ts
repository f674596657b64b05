import { z } from 'zod';
import { ACTIONS, FOUND, type LogEntry } from '../../collector/contract/index.ts';
import { Job } from '../views.ts';

const Time = z.number().meta({ description: 'epoch ms' });

/** What people said of a job; the newest version counts. */
export const JobRecord = z.strictObject({
  acknowledged: z.strictObject({ at: Time, who: z.string() }).nullable().default(null),
  planned: z.strictObject({ for: Time, at: Time, who: z.string(), note: z.string() }).nullable().default(null),
  shelved: z.strictObject({ until: Time, reason: z.string(), at: Time, who: z.string() }).nullable().default(null),
  /** Said to be done where no part was changed that the log could name. */
  done: z.strictObject({ at: Time, who: z.string(), note: z.string() }).nullable().default(null),
});
export type JobRecord = z.infer<typeof JobRecord>;

export const JOB_STATES = ['open', 'planned', 'done', 'proven', 'gone'] as const;
/** As ISA-18.2 (IEC 62682) names the states of an alarm. `normal`: nothing is to be told. */
export const ALERT_STATES = [
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'shelved',
  'suppressed-by-design',
  'normal',
] as const;

export const STOP_KINDS = ['at-once', 'colour-change', 'shift-end', 'planned-stop', 'chosen'] as const;

const Measured = z.strictObject({ value: z.number(), unit: z.string() }).nullable();

const Attempt = z.strictObject({
  /** Log entry; null where it was only said to be done. */
  entry: z.number().nullable(),
  part: z.string(),
  action: z.enum(ACTIONS).nullable(),
  time: Time,
  outcome: z.enum(['watching', 'cured', 'not-cured']),
  /** Spray hours since; the proof needs some. */
  sprayHoursSince: z.number(),
});
export type Attempt = z.infer<typeof Attempt>;

const Check = z.strictObject({
  entry: z.number(),
  part: z.string(),
  time: Time,
  found: z.enum(FOUND).nullable(),
  measured: Measured,
});

/** A job of the maintenance loop: what is to be done, and how far it has come. Times are epoch ms but in `finding`. */
export const LoopJob = Job.extend({
  id: z.string(),
  source: z.enum(['finding', 'plan']),
  state: z.enum(JOB_STATES),
  /** True after a change that did not bring the signal back: open again, with the next candidate. */
  reopened: z.boolean(),
  alert: z.enum(ALERT_STATES),
  /** Of what people said of it; 0 when nobody did. A change names the version that it has seen. */
  version: z.number().int(),
  raised: Time,
  cleared: Time.nullable(),
  /** By when; null: at the next stop, or the gun is not used. */
  due: Time.nullable(),
  /** Why then, each a sentence. */
  dueWhy: z.array(z.string()),
  safetyRelevant: z.boolean(),
  /** Proposed or chosen time to do it. */
  stop: z.strictObject({ kind: z.enum(STOP_KINDS), at: Time, name: z.string() }).nullable(),
  /** Other jobs at this gun that the same stop does. */
  together: z.array(z.string()),
  work: z.enum(['change', 'check', 'look']),
  separates: z.tuple([z.string(), z.string()]).nullable(),
  acknowledged: JobRecord.shape.acknowledged.unwrap(),
  planned: JobRecord.shape.planned.unwrap(),
  shelved: JobRecord.shape.shelved.unwrap(),
  suppressed: z.strictObject({ reason: z.string(), from: Time, until: Time.nullable() }).nullable(),
  attempts: z.array(Attempt),
  checks: z.array(Check),
}).meta({ id: 'LoopJob' });
export type LoopJob = z.infer<typeof LoopJob>;

/** A gun that is out of service: its alerts are suppressed by design until it sprays again or the time is over. */
export const OutOfService = z
  .strictObject({
    from: Time,
    until: Time.nullable(),
    reason: z.string().min(1).max(300),
  })
  .meta({ id: 'OutOfService' });
export type OutOfService = z.infer<typeof OutOfService>;

/** What a job is known by, in one word that fits into an address: `gun-01~pump-insert~20260309T132500000Z`. */
export function jobId(gun: string | null, cause: string, raised: number): string {
  const time = new Date(raised).toISOString().replace(/[-:.]/g, '');
  return `${gun ?? '_'}~${cause.replace(/[:/]/g, '.')}~${time}`;
}

/** True for work that may cure: everything but a look. */
export const isWork = (entry: Pick<LogEntry, 'action'>): boolean => entry.action !== 'inspected';
