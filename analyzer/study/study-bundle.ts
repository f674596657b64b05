import { createHash } from 'node:crypto';
import { z } from 'zod';
import { ACTIONS, AppError, counted, FOUND, JUDGED, Plant, Settings } from '../../collector/contract/index.ts';
import { valueFaults } from '../../collector/index.ts';
import type { Track } from '../site.ts';
import { type SiteHistory, spanOf } from './history.ts';
import { PackedTrack, packTrack, unpackTrack } from './packed-track.ts';

const KIND = 'driftline-study';
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
  kind: z.literal(KIND),
  format: z.literal(FORMAT),
  driftline: z.string(),
  analysis: z.string(),
  node: z.string(),
});
/** What every version's head has: enough to say whose study it is. */
const AnyHead = z.object({
  kind: z.literal(KIND),
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
/** A bundle as lines of JSON: what made it, the question, one line a station, the answer. */
export function* bundleLines(bundle: StudyBundle, versions: Versions): Generator<string> {
  const { history, from, to, present, proposed, report } = bundle;
  const { plant, settings, log, judgements, words, tracks } = history;
  const lines = function* (): Generator<string> {
    yield JSON.stringify({ kind: KIND, format: FORMAT, ...versions } satisfies z.infer<typeof Head>);
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
    const value = jsonOf(text);
    if (value === undefined) throw refuse(line, `what is no whole JSON (${Buffer.byteLength(text)} bytes)`, expected);
    const result = schema.safeParse(value);
    if (result.success) return result.data;
    const [fault, ...more] = valueFaults(result.error, value, schema);
    const others = more.length === 0 ? '' : `, and ${counted(more.length, 'more fault')}`;
    throw new AppError('STUDY_UNUSABLE', `${file}, line ${line} (${expected}): ${fault}${others}`);
  };
  if (!isStudy(lines[0]))
    throw new AppError(
      'STUDY_UNUSABLE',
      `${file}: found ${lines.length === 0 ? 'nothing in it' : 'something else'}, expected a study bundle, as “Save this study” or driftline replay --save writes it`,
    );
  const head = parse(1, AnyHead, 'what made the study');
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
  const last = Math.max(3, lines.length);
  if (isRuns(lines[last - 1]))
    throw refuse(last + 1, 'the end of the file', 'more stations or the report: it was cut off');
  const { report, sha256 } = parse(last, Answer, 'the report');
  const tracks = new Map<string, Track>();
  for (let line = 3; line < last; line++) {
    const packed = parse(line, PackedTrack, 'runs of a station');
    tracks.set(
      packed.station,
      unpackTrack(packed, (found, expected) => refuse(line, found, expected)),
    );
  }
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

/** Whether a first line says that a study follows, whatever else it says. */
function isStudy(line = ''): boolean {
  const head = jsonOf(line);
  return typeof head === 'object' && head !== null && 'kind' in head && head.kind === KIND;
}

/** Whether a line is of a station, as far as it goes. */
const isRuns = (line = ''): boolean => line.startsWith('{"station":');

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    // No value of JSON is undefined: whoever asked refuses the line and says what was expected.
    return undefined;
  }
}
