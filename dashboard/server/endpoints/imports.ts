import { z } from 'zod';
import { AppError, CHANNEL_NAMES } from '../../../collector/contract/index.ts';
import { type ImportDesk, ImportMapping } from '../../../collector/index.ts';
import { type Endpoint, endpoint, ok } from '../endpoint.ts';
import { Import, inWords, Refusal, shownImport } from '../import-model.ts';
import type { DashboardSources } from '../sources.ts';
import { FileName } from './file-name.ts';

const Params = z.strictObject({ id: z.string().regex(/^\d{1,9}$/, 'expected the number of an import') });

const Mapping = ImportMapping.nullable().meta({
  description: 'How the file is read; null for the form that `export readings` writes',
});

function deskOf({ imports }: DashboardSources): ImportDesk {
  if (imports === undefined) throw new AppError('NOT_FOUND', 'no files are taken here');
  return imports;
}

const list = endpoint({
  method: 'get',
  path: '/api/imports',
  summary: 'Files of readings that were given to the service, newest first',
  role: 'engineer',
  success: { 200: 'The imports, and how large files and pieces may be' },
  answer: z.strictObject({ maxPieceBytes: z.number(), imports: z.array(Import) }),
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => {
    const desk = deskOf(sources);
    return ok({ maxPieceBytes: desk.maxPieceBytes, imports: desk.list().map(shownImport) });
  },
});

const begin = endpoint({
  method: 'post',
  path: '/api/imports',
  summary: 'Announces a file of readings; the same file that somebody began to send goes on where that ended',
  role: 'engineer',
  body: z.strictObject({
    file: FileName,
    bytes: z.number().int().min(1, 'expected a file that is not empty'),
  }),
  success: { 201: 'Where to send its bytes' },
  answer: Import,
  problems: ['BODY_TOO_LARGE', 'DISK_FULL', 'NOT_FOUND'],
  handle: async ({ sources, who }, { body }) => ({
    ...ok(shownImport(await deskOf(sources).begin(body.file, body.bytes, who))),
    status: 201,
  }),
});

const read = endpoint({
  method: 'get',
  path: '/api/imports/:id',
  summary: 'One import: how far it is, and what it came to',
  role: 'engineer',
  params: Params,
  success: { 200: 'The import' },
  answer: Import,
  problems: ['NOT_FOUND'],
  handle: ({ sources }, { params }) => ok(shownImport(deskOf(sources).get(params.id))),
});

const send = endpoint({
  method: 'put',
  path: '/api/imports/:id/bytes',
  summary: 'The next bytes of a file; what is here already is told by `received`',
  role: 'engineer',
  params: Params,
  query: z.strictObject({ offset: z.coerce.number().int().min(0) }),
  bytes: true,
  success: { 200: 'They are here' },
  answer: Import,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE', 'DISK_FULL'],
  // The import that they belong to is written down.
  audits: true,
  handle: async ({ sources }, { params, query, bytes }) =>
    ok(shownImport(await deskOf(sources).append(params.id, query.offset, bytes))),
});

const offer = endpoint({
  method: 'get',
  path: '/api/imports/:id/mapping',
  summary: 'What the file’s columns seem to be, and the mapping last used for files with these headings',
  role: 'engineer',
  params: Params,
  query: z.strictObject({
    delimiter: ImportMapping.shape.delimiter.unwrap().optional(),
    encoding: ImportMapping.shape.encoding.unwrap().optional(),
    skipLines: z.coerce.number().int().min(0).max(1000).optional(),
  }),
  success: { 200: 'The offer' },
  answer: z.strictObject({
    offered: z.unknown().meta({ description: 'Headings, first rows, and a guess for each column' }),
    kept: z.strictObject({ mapping: z.unknown(), file: z.string(), who: z.string(), usedAt: z.number() }).nullable(),
  }),
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE', 'READINGS_UNUSABLE'],
  handle: async ({ sources }, { params, query }) => {
    const { delimiter, encoding, skipLines } = query;
    const stated = {
      ...(delimiter === undefined ? {} : { delimiter }),
      ...(encoding === undefined ? {} : { encoding }),
      ...(skipLines === undefined ? {} : { skipLines }),
    };
    return ok(await deskOf(sources).offer(params.id, stated));
  },
});

const preview = endpoint({
  method: 'post',
  path: '/api/imports/:id/preview',
  summary: 'The first rows of the file, and what each becomes; refusals with their line',
  role: 'engineer',
  params: Params,
  body: z.strictObject({ mapping: Mapping, rows: z.number().int().min(1).max(100).default(10) }),
  success: { 200: 'The rows' },
  answer: z.strictObject({
    headings: z.array(z.string()),
    rows: z.array(
      z.strictObject({
        line: z.number(),
        cells: z.array(z.string()),
        readings: z.array(
          z.strictObject({
            station: z.string(),
            time: z.number(),
            channel: z.enum(CHANNEL_NAMES),
            value: z.union([z.number(), z.string()]),
          }),
        ),
        refusals: z.array(Refusal),
        shown: z
          .enum(['once', 'twice', 'never'])
          .meta({ description: 'How often the clock of the mapping’s time zone showed the row’s time' }),
      }),
    ),
  }),
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE', 'READINGS_UNUSABLE', 'CONFIG_INVALID'],
  audits: true,
  handle: async ({ sources }, { params, body }) => {
    const { headings, rows } = await deskOf(sources).preview(params.id, body.mapping, body.rows);
    const copied = rows.map((row) => ({
      ...row,
      cells: [...row.cells],
      readings: [...row.readings],
      refusals: row.refusals.map(inWords),
    }));
    return ok({ headings: [...headings], rows: copied });
  },
});

const run = endpoint({
  method: 'post',
  path: '/api/imports/:id/run',
  summary:
    'Reads the whole file and stores nothing (dry-run), or imports it; the mapping is kept for the next such file',
  role: 'engineer',
  params: Params,
  body: z.strictObject({ task: z.enum(['dry-run', 'import']), mapping: Mapping }),
  success: { 202: 'It runs, or waits for its turn' },
  answer: Import,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE', 'READINGS_UNUSABLE'],
  handle: async ({ sources, who }, { params, body }) => ({
    ...ok(shownImport(await deskOf(sources).run(params.id, body.task, body.mapping, who))),
    status: 202,
  }),
});

const cancel = endpoint({
  method: 'post',
  path: '/api/imports/:id/cancel',
  summary: 'Ends what runs; what is stored stays, and running it again goes on there',
  role: 'engineer',
  params: Params,
  success: { 200: 'The import' },
  answer: Import,
  problems: ['NOT_FOUND'],
  handle: ({ sources }, { params }) => ok(shownImport(deskOf(sources).cancel(params.id))),
});

const remove = endpoint({
  method: 'delete',
  path: '/api/imports/:id',
  summary: 'Forgets a file and what became of it; readings that were imported stay',
  role: 'engineer',
  params: Params,
  success: { 200: 'It is gone' },
  answer: z.strictObject({ removed: z.string() }),
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE'],
  handle: ({ sources }, { params }) => {
    deskOf(sources).delete(params.id);
    return ok({ removed: params.id });
  },
});

export const IMPORT_ENDPOINTS: readonly Endpoint[] = [list, begin, read, send, offer, preview, run, cancel, remove];
