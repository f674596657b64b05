import { z } from 'zod';
import { CHANNEL_NAMES } from '../../collector/contract/index.ts';
import {
  type ImportOutcome,
  localHoursText,
  missingMarksText,
  REASONS,
  type RowRefusal,
  type ShownImport,
  thousandsText,
} from '../../collector/index.ts';

/** A row or a cell that was refused. */
export const Refusal = z.strictObject({
  line: z.number(),
  reason: z.string().meta({ description: 'One of the words of the quarantine' }),
  says: z.string().meta({ description: 'The same in words' }),
  channel: z.enum(CHANNEL_NAMES).nullable().meta({ description: 'Of a cell; null for a whole row' }),
});
const Report = z.strictObject({
  file: z.string(),
  rows: z.number(),
  unusable: z.array(z.strictObject({ reason: z.string(), says: z.string(), count: z.number(), firstLine: z.number() })),
  repeated: z.number(),
  conflicting: z.number(),
  firstConflictLine: z.number().nullable(),
  ignoredColumns: z.array(z.string()),
});
const Outcome = z.strictObject({
  importedBefore: z.number().nullable().meta({ description: 'When the same bytes were imported, epoch ms' }),
  reports: z.array(Report),
  refusals: z.array(Refusal).meta({ description: 'The first 200, by line' }),
  stations: z.array(z.strictObject({ station: z.string(), rows: z.number(), from: z.number(), to: z.number() })),
  readings: z.number(),
  already: z.number().meta({ description: 'Of these, those that were in the store already' }),
  ahead: z.number().meta({ description: 'Readings not taken: their time has not come' }),
  localHours: z
    .array(z.string())
    .meta({ description: 'Rows whose local time the clock left out in spring, or showed twice in autumn, in words' }),
  missing: z
    .string()
    .nullable()
    .meta({ description: 'Cells with a mark of a missing value, taken as empty, in words' }),
  thousands: z
    .string()
    .nullable()
    .meta({ description: 'Cells whose only point was taken for a mark of thousands, in words' }),
});
const Step = z.union([
  z.strictObject({ kind: z.literal('reading'), bytes: z.number(), of: z.number() }),
  z.strictObject({ kind: z.literal('read'), reports: z.array(Report) }),
  z.strictObject({ kind: z.literal('goes-on'), pieces: z.number(), of: z.number() }),
  z.strictObject({ kind: z.literal('stored'), pieces: z.number(), of: z.number(), readings: z.number() }),
]);
/** One file of readings, how far it is, and what it came to. */
export const Import = z
  .strictObject({
    id: z.string(),
    file: z.string(),
    bytes: z.number(),
    received: z.number().meta({ description: 'Bytes that are here' }),
    who: z.string(),
    begunAt: z.number().meta({ description: 'Epoch ms' }),
    stage: z.enum(['arriving', 'ready', 'running', 'done', 'stopped', 'refused']),
    task: z.enum(['dry-run', 'import']).nullable(),
    mapping: z.unknown().nullable(),
    outcome: Outcome.nullable(),
    fault: z.string().nullable(),
    step: Step.nullable().meta({ description: 'Where it is, while it runs' }),
  })
  .meta({ id: 'Import' });
export type Import = z.infer<typeof Import>;

/** A refusal with its reason in words. */
export const inWords = ({ line, reason, channel }: RowRefusal) => ({ line, reason, says: REASONS[reason], channel });

function reportsOf(reports: ImportOutcome['reports']): z.infer<typeof Report>[] {
  return reports.map((report) => ({
    ...report,
    unusable: report.unusable.map(({ reason, count, firstLine }) => ({
      ...{ reason, count, firstLine },
      says: REASONS[reason],
    })),
    ignoredColumns: [...report.ignoredColumns],
  }));
}

/** An import as the API tells it. */
export function shownImport({ outcome, step, ...rest }: ShownImport): Import {
  return {
    ...rest,
    outcome: outcome && {
      ...outcome,
      reports: reportsOf(outcome.reports),
      refusals: outcome.refusals.map(inWords),
      stations: [...outcome.stations],
      // Records of earlier versions have none.
      already: outcome.already ?? 0,
      localHours: outcome.localHours ? localHoursText(outcome.localHours) : [],
      missing: outcome.missing ? missingMarksText(outcome.missing) : null,
      thousands: outcome.thousands ? thousandsText(outcome.thousands) : null,
    },
    step: step?.kind === 'read' ? { kind: 'read', reports: reportsOf(step.reports) } : step,
  };
}
