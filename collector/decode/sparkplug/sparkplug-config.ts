import { z } from 'zod';
import { Id } from '../../contract/index.ts';
import { CHANNEL_FIELDS, checkChannelFields } from '../mapped/mapping-config.ts';

const restart = true;
/** Ids may hold neither the separator nor wildcards. Source: Sparkplug 3.0.0, tck-id-topic-structure-namespace-valid-*. */
const Name = z.string().regex(/^[^/+#\p{Cc}]{1,200}$/u, 'expected an id without / + and #');
const OrAny = z.union([z.literal('+'), Name], 'expected an id without / and #, or "+" for any');

const Metric = z
  .strictObject({ metric: z.string().min(1).max(500), ...CHANNEL_FIELDS })
  .superRefine(checkChannelFields);

const Source = z
  .strictObject({
    group: OrAny.default('+').meta({ description: 'Group id; "+" for any' }),
    node: OrAny.default('+').meta({ description: 'Edge node id; "+" for any' }),
    device: OrAny.nullable()
      .default('+')
      .meta({ description: 'Device id; "+" for any; null for metrics of the node itself' }),
    station: z
      .union(
        [
          Id,
          z.strictObject({
            from: z.enum(['group', 'node', 'device']),
            names: z.record(z.string().min(1).max(200), Id).optional(),
          }),
        ],
        'expected a station’s id, or { from: node } or { from: device }, with names where they differ',
      )
      .meta({ description: 'Whose readings these are' }),
    metrics: z.array(Metric).min(1).max(200),
  })
  .superRefine(({ device, station }, context) => {
    if (device === null && typeof station === 'object' && station.from === 'device')
      context.addIssue({
        code: 'custom',
        path: ['station', 'from'],
        message: 'expected group or node where device is null',
      });
  });

/** Sparkplug B: whose metrics are readings of which channel. Off while nothing is listed. */
export const Sparkplug = z.strictObject({
  sources: z
    .array(Source)
    .max(2000)
    .default([])
    .meta({ description: 'Edge nodes and devices, and their metrics', restart }),
  hostId: Name.nullable()
    .default(null)
    .meta({ description: 'Host id under which we say on STATE that we are there; none: we do not', restart }),
  rebirthEveryS: z
    .number()
    .min(1)
    .max(86_400)
    .default(60)
    .meta({ description: 'Shortest time between two requests for birth to one edge node', unit: 's', restart }),
});
export type Sparkplug = z.infer<typeof Sparkplug>;
export type SparkplugSource = Sparkplug['sources'][number];
