import { z } from 'zod';
import {
  CHANNEL_NAMES,
  CHANNELS,
  channelIndex,
  Id,
  isTimeZone,
  lookUpUnit,
  quoted,
  unitsOf,
} from '../../contract/index.ts';
import { pathFault } from './json-path.ts';
import { filterFault } from './topic-filter.ts';

const Path = z
  .string()
  .max(500)
  .superRefine((path, context) => {
    const fault = pathFault(path);
    if (fault !== null) context.addIssue({ code: 'custom', message: `expected a JSON path (RFC 9535): ${fault}` });
  });
const Where = z
  .enum(['record', 'message'])
  .default('record')
  .meta({ description: 'What "$" of the path stands for: one of the records, or the whole message' });
const Names = z
  .record(z.string().min(1).max(200), Id)
  .optional()
  .meta({ description: 'Station by what is found there' });

const Station = z.union(
  [
    Id,
    z.strictObject({ level: z.number().int().min(1).max(100), names: Names }),
    z.strictObject({ path: Path, in: Where, names: Names }),
  ],
  'expected a station’s id, { level: N } of the topic, or { path: … }',
);

const Time = z
  .strictObject({
    path: Path.optional().meta({ description: 'Where it stands; without it the time of reception counts' }),
    in: Where,
    as: z
      .enum(['iso', 'unix-s', 'unix-ms', 'unix-us', 'unix-ns', 'local'])
      .optional()
      .meta({ description: 'How it is written; default: text as ISO 8601 with offset, numbers as Unix seconds' }),
    zone: z
      .string()
      .refine(isTimeZone, 'expected an IANA time zone such as Europe/Vienna')
      .optional()
      .meta({ description: 'Time zone of `as: local`' }),
    everyMs: z
      .number()
      .min(1)
      .max(86_400_000)
      .optional()
      .meta({ description: 'Between the values of a list that has one time', unit: 'ms' }),
    of: z
      .enum(['first', 'last'])
      .default('first')
      .meta({ description: 'Which value of such a list the time belongs to' }),
  })
  .superRefine((time, context) => {
    if ((time.as === 'local') !== (time.zone !== undefined))
      context.addIssue({ code: 'custom', path: ['zone'], message: 'expected a zone with as: local, and only there' });
    if (time.as !== undefined && time.path === undefined)
      context.addIssue({
        code: 'custom',
        path: ['path'],
        message: 'expected a path where the form of the time is given',
      });
  });

/** Where a value goes and how it becomes one of ours; the same for JSON and Sparkplug. */
export const CHANNEL_FIELDS = {
  channel: z.enum(CHANNEL_NAMES),
  unit: z
    .string()
    .min(1)
    .max(40)
    .optional()
    .meta({ description: 'Unit of the value after scale and offset; default canonical' }),
  scale: z
    .number()
    .refine((scale) => scale !== 0, 'expected a number other than 0')
    .default(1),
  offset: z.number().default(0).meta({ description: 'Added after scaling' }),
};

/** Faults that a single field does not show. */
export function checkChannelFields(
  { channel, unit, scale, offset }: { channel: string; unit?: string | undefined; scale: number; offset: number },
  context: z.RefinementCtx,
): void {
  const info = CHANNELS[channelIndex(channel)];
  if (info === undefined) return;
  if (unit !== undefined && lookUpUnit(info.dimension, unit).kind !== 'ok') {
    const expected = info.dimension === null ? 'no unit' : `one of ${unitsOf(info.dimension).join(' ')}`;
    context.addIssue({ code: 'custom', path: ['unit'], message: `expected ${expected} for ${channel}` });
  }
  if (info.kind !== 'number' && (scale !== 1 || offset !== 0))
    context.addIssue({
      code: 'custom',
      path: ['scale'],
      message: `expected neither scale nor offset: ${channel} is no number`,
    });
}

const MappedChannel = z.strictObject({ path: Path, ...CHANNEL_FIELDS }).superRefine(checkChannelFields);

/** How messages of some topics become readings. */
export const Mapping = z
  .strictObject({
    topic: z
      .string()
      .superRefine((filter, context) => {
        const fault = filterFault(filter);
        if (fault !== null) context.addIssue({ code: 'custom', message: `expected a topic filter: ${fault}` });
      })
      .meta({ description: 'MQTT topic filter' }),
    station: Station,
    records: Path.default('$').meta({ description: 'One node for each instant or sensor' }),
    time: Time.prefault({}),
    channels: z.array(MappedChannel).min(1).max(100),
  })
  .superRefine(({ topic, station }, context) => {
    if (typeof station === 'string' || !('level' in station)) return;
    const levels = topic.split('/');
    if (!topic.endsWith('#') && station.level > levels.length) {
      const message = `expected a level of the topic ${quoted(topic)}, 1 to ${levels.length}`;
      context.addIssue({ code: 'custom', path: ['station', 'level'], message });
    }
  });
export type Mapping = z.infer<typeof Mapping>;
