import { createHash } from 'node:crypto';
import { z } from 'zod';
import {
  ACTIONS,
  AppError,
  CHANNEL_NAMES,
  FOUND,
  JUDGED,
  Plant,
  RUN_FIELDS,
  type RunField,
  type RunTable,
  Settings,
} from '../../collector/contract/index.ts';
import type { StationFact, Track } from '../site.ts';
import { type SiteHistory, spanOf } from './history.ts';

/** Raise when the lines below change meaning. */
const FORMAT = 3;

/** What a bundle can only be reproduced with. */
export interface Versions {
  readonly driftline: string;
  /** Versions of the analysis' states, as `versionsHere` writes them. */
  readonly analysis: string;
  readonly node: string;
}

/** A question and its answer: settings tried on a history, and what came out, as text. */
export interface StudyBundle {
  readonly history: SiteHistory;
  readonly from: number;
  readonly to: number;
  readonly present: Settings;
  readonly proposed: Settings;
  /** The report as JSON, to be compared byte by byte. */
  readonly report: string;
}

const Time = z.number();
const Head = z.strictObject({
  kind: z.literal('driftline-study'),
  format: z.literal(FORMAT),
  driftline: z.string(),
  analysis: z.string(),
  node: z.string(),
});
/** What every version's head has: enough to say whose study it is. */
const AnyHead = z.object({
  kind: z.literal('driftline-study'),
  driftline: z.string(),
  analysis: z.string().default('unknown'),
  node: z.string(),
});
const Answer = z.strictObject({
  report: z.string(),
  /** SHA-256 of all lines before, each with its line feed, and the report; hexadecimal. */
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
});
const Question = z.strictObject({
  from: Time,
  to: Time,
  present: Settings,
  proposed: Settings,
  plant: Plant,
  settings: z.array(z.strictObject({ version: z.number().int(), adopted: Time, settings: Settings })),
  log: z.array(
    z.object({
      time: Time,
      gun: z.string(),
      part: z.string(),
      action: z.enum(ACTIONS),
      found: z.enum(FOUND).nullable(),
      note: z.string(),
    }),
  ),
  judgements: z.array(
    z.object({
      gun: z.string().nullable(),
      cause: z.string(),
      raised: Time,
      judged: z.enum(JUDGED),
      reason: z.string(),
      until: Time.nullable().optional(),
    }),
  ),
  words: z
    .strictObject({
      relearnings: z.array(z.strictObject({ gun: z.string(), from: Time, decided: Time, undone: Time.nullable() })),
      dismissals: z.array(z.strictObject({ gun: z.string(), part: z.string(), time: Time })),
    })
    .optional(),
});
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
  z.strictObject({ kind: z.literal('no-air'), ...span, noticed: Time }),
  z.strictObject({ kind: z.literal('wet-air'), ...span, noticed: Time, dewpointCel: z.number(), usualCel: z.number() }),
]);
const StationTrack = z.strictObject({
  station: z.string(),
  firstTime: Time,
  lastTime: Time,
  facts: z.array(Fact),
  powders: z.array(z.string()),
  runs: z.number().int().min(0),
  /** Base64 of 64-bit floats, little end first: text would lose nothing either, but NaN. */
  columns: z.record(z.string(), z.string()),
});

/** A bundle as lines of JSON: what made it, the question, one line a station, the answer. */
export function* bundleLines(bundle: StudyBundle, versions: Versions): Generator<string> {
  const { history, from, to, present, proposed, report } = bundle;
  const { plant, settings, log, judgements, words, tracks } = history;
  const lines = function* (): Generator<string> {
    yield JSON.stringify({ kind: 'driftline-study', format: FORMAT, ...versions } satisfies z.infer<typeof Head>);
    yield JSON.stringify({ from, to, present, proposed, plant, settings, log, judgements, words });
    for (const track of tracks.values()) yield JSON.stringify(packTrack(track));
  };
  const hash = createHash('sha256');
  for (const line of lines()) {
    hash.update(`${line}\n`);
    yield line;
  }
  yield JSON.stringify({ report, sha256: hash.update(report).digest('hex') } satisfies z.infer<typeof Answer>);
}

/**
 * A bundle from its lines.
 *
 * @param file name for messages
 * @throws {AppError} STUDY_UNUSABLE: no bundle, one of another version, or one that is cut off, damaged or was changed since
 */
export function readBundle(lines: readonly string[], file: string, versions: Versions): StudyBundle {
  const refuse = (line: number, found: string, expected: string): AppError =>
    new AppError('STUDY_UNUSABLE', `${file}, line ${line}: found ${found}, expected ${expected}`);
  const parse = <Schema extends z.ZodType>(line: number, schema: Schema, expected: string): z.infer<Schema> => {
    const text = lines[line - 1];
    if (text === undefined) throw refuse(line, 'the end of the file', expected);
    const result = schema.safeParse(jsonOf(text));
    if (result.success) return result.data;
    const { path, message } = result.error.issues[0]!;
    throw refuse(line, path.length === 0 ? 'something else' : `${path.join('.')}: ${message}`, expected);
  };
  const head = parse(1, AnyHead, 'a study bundle');
  const named = ({ driftline, analysis, node }: Versions): string =>
    `driftline ${driftline} (analysis ${analysis}) on Node ${node}`;
  if (named(head) !== named(versions))
    throw refuse(
      1,
      `a study made with ${named(head)}`,
      `${named(versions)}, because another version may answer otherwise`,
    );
  parse(1, Head, `a study bundle of format ${FORMAT}`);
  const question = parse(2, Question, 'settings, plant and log');
  const tracks = new Map<string, Track>();
  for (let line = 3; line < lines.length; line++) {
    const packed = parse(line, StationTrack, 'runs of a station');
    tracks.set(
      packed.station,
      unpackTrack(packed, (found, expected) => refuse(line, found, expected)),
    );
  }
  const last = Math.max(3, lines.length);
  const { report, sha256 } = parse(last, Answer, 'the report');
  const hash = createHash('sha256');
  for (const line of lines.slice(0, last - 1)) hash.update(`${line}\n`);
  if (hash.update(report).digest('hex') !== sha256)
    throw new AppError(
      'STUDY_UNUSABLE',
      `${file}: found another content than its SHA-256 is of, expected what driftline wrote: it was damaged or edited since`,
    );
  const { plant, settings, log, judgements, words, ...asked } = question;
  const said = words === undefined ? {} : { words };
  return { history: { plant, settings, log, judgements, ...said, tracks, ...spanOf(tracks) }, ...asked, report };
}

function packTrack({ station, firstTime, lastTime, facts, runs }: Track): z.infer<typeof StationTrack> {
  const columns: Record<string, string> = {};
  for (const field of RUN_FIELDS) columns[field] = base64Of(runs.columns[field].subarray(0, runs.length));
  return { station, firstTime, lastTime, facts: [...facts], powders: [...runs.powders], runs: runs.length, columns };
}

function unpackTrack(
  { station, firstTime, lastTime, facts, powders, runs, columns: packed }: z.infer<typeof StationTrack>,
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

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    // Not JSON at all: the schema refuses it with the line and what was expected.
    return undefined;
  }
}
