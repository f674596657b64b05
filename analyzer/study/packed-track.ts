import { z } from 'zod';
import {
  type AppError,
  CHANNEL_NAMES,
  RUN_FIELDS,
  type RunField,
  type RunTable,
} from '../../collector/contract/index.ts';
import type { StationFact, Track } from '../site.ts';

const Time = z.number();
const span = { station: z.string(), time: Time, until: Time.nullable() };
const Fact: z.ZodType<StationFact> = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('silence'), ...span }),
  z.strictObject({
    kind: z.literal('clock'),
    station: z.string(),
    time: Time,
    offsetMs: z.number().nullable(),
    detail: z.string(),
  }),
  z.strictObject({
    kind: z.literal('range'),
    station: z.string(),
    channel: z.enum(CHANNEL_NAMES),
    time: Time,
    count: z.number(),
  }),
  z.strictObject({
    kind: z.literal('stuck'),
    ...span,
    channel: z.enum(CHANNEL_NAMES),
    noticed: Time,
    detail: z.string().optional(),
  }),
  z.strictObject({
    kind: z.literal('absent'),
    ...span,
    channel: z.enum(CHANNEL_NAMES),
    noticed: Time,
    never: z.boolean(),
  }),
  z.strictObject({ kind: z.literal('no-air'), ...span, noticed: Time }),
  z.strictObject({ kind: z.literal('wet-air'), ...span, noticed: Time, dewpointCel: z.number(), usualCel: z.number() }),
]);
/** Runs and facts of a station as one line of JSON. */
export const PackedTrack = z.strictObject({
  station: z.string(),
  firstTime: Time,
  lastTime: Time,
  facts: z.array(Fact),
  powders: z.array(z.string()),
  runs: z.number().int().min(0),
  /** Base64 of 64-bit floats, little end first: text would lose nothing either, but NaN. */
  columns: z.record(z.string(), z.string()),
});

/** A station's runs and facts, as bytes that lose nothing. */
export function packTrack({ station, firstTime, lastTime, facts, runs }: Track): z.infer<typeof PackedTrack> {
  const columns: Record<string, string> = {};
  for (const field of RUN_FIELDS) columns[field] = base64Of(runs.columns[field].subarray(0, runs.length));
  return { station, firstTime, lastTime, facts: [...facts], powders: [...runs.powders], runs: runs.length, columns };
}

/**
 * The same again.
 *
 * @param refuse makes the error for columns that do not fit the runs
 * @throws {AppError} what `refuse` makes
 */
export function unpackTrack(
  { station, firstTime, lastTime, facts, powders, runs, columns: packed }: z.infer<typeof PackedTrack>,
  refuse: (found: string, expected: string) => AppError,
): Track {
  const columns = {} as Record<RunField, Float64Array>;
  for (const field of RUN_FIELDS) {
    const column = floatsOf(packed[field] ?? '');
    if (column.length !== runs) throw refuse(`${column.length} values of ${field}`, `${runs}, one a run`);
    columns[field] = column;
  }
  const table: RunTable = { gun: station, length: runs, columns, powders };
  return { station, firstTime, lastTime, facts, runs: table };
}

function base64Of(column: Float64Array): string {
  const bytes = Buffer.alloc(column.length * 8);
  for (let row = 0; row < column.length; row++) bytes.writeDoubleLE(column[row]!, row * 8);
  return bytes.toString('base64');
}

function floatsOf(text: string): Float64Array {
  const bytes = Buffer.from(text, 'base64');
  const column = new Float64Array(Math.floor(bytes.length / 8));
  for (let row = 0; row < column.length; row++) column[row] = bytes.readDoubleLE(row * 8);
  return column;
}
