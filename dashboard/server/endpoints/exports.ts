import { Readable } from 'node:stream';
import { z } from 'zod';
import { AppError } from '../../../collector/contract/index.ts';
import { refuseBelow } from '../access/refuse-below.ts';
import { savedAs } from '../csv-text.ts';
import { type Endpoint, endpoint, ok } from '../endpoint.ts';
import { EXPORT_NAMES, EXPORTS } from '../export-source.ts';

const MEDIA = { csv: 'text/csv; charset=utf-8', parquet: 'application/vnd.apache.parquet' } as const;

const Time = z.iso.datetime({ offset: true }).optional();

const exportTable = endpoint({
  method: 'get',
  path: '/api/export/:what',
  summary: `Everything out as a table, CSV or Apache Parquet: ${EXPORT_NAMES.map((name) => `${name} (${EXPORTS[name]})`).join(', ')}; the audit trail to administrators`,
  role: 'fitter',
  params: z.strictObject({ what: z.enum(EXPORT_NAMES) }),
  query: z.strictObject({
    format: z.enum(['csv', 'parquet']).default('csv'),
    from: Time.meta({ description: 'Inclusive; default: all' }),
    to: Time.meta({ description: 'Exclusive; default: all' }),
    station: z
      .string()
      .max(40)
      .optional()
      .meta({ description: 'Of readings, thinned ones and runs: one gun or air point' }),
  }),
  success: { 200: 'The file. A fault after its begin ends the connection before the file is whole' },
  answer: z.unknown().meta({ description: 'Text or bytes' }),
  media: 'application/octet-stream',
  problems: ['USAGE', 'NOT_FOUND', 'READINGS_DAMAGED'],
  handle({ sources, caller }, { params, query }) {
    if (sources.exports === undefined) throw new AppError('NOT_FOUND', 'nothing is kept here');
    if (params.what === 'audit') refuseBelow('administrator', caller);
    const { format, station = null } = query;
    const pieces = sources.exports.open({
      ...{ what: params.what, format, station },
      from: query.from === undefined ? null : Date.parse(query.from),
      to: query.to === undefined ? null : Date.parse(query.to),
    });
    return {
      ...ok(Readable.from(inTurns(pieces))),
      headers: { ...savedAs(`${params.what}.${format}`), 'Content-Type': MEDIA[format] },
    };
  },
});

/** Lets whatever waits have its turn between two pieces: a long table must not hold up live readings. */
async function* inTurns(pieces: Iterable<string | Uint8Array>): AsyncGenerator<Buffer> {
  for (const piece of pieces) {
    yield Buffer.from(piece as string);
    await new Promise((resolve) => setImmediate(resolve));
  }
}

export const EXPORT_ENDPOINTS: readonly Endpoint[] = [exportTable];
