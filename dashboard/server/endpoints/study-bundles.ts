import { z } from 'zod';
import { type Endpoint, endpoint, ok } from '../endpoint.ts';
import type { ArrivingBundle, StudyFiles } from '../study-desk.ts';
import { FileName } from './file-name.ts';
import { tuningOf } from './settings.ts';
import { Study, shownStudy } from './studies.ts';

const Path = z.strictObject({ id: z.string().regex(/^\d{1,12}$/, 'expected the number of a bundle') });

const Bundle = z
  .strictObject({
    id: z.string(),
    file: z.string(),
    bytes: z.number(),
    received: z.number().meta({ description: 'Bytes that are here' }),
    maxPieceBytes: z.number().meta({ description: 'Longest piece that one request may bring' }),
  })
  .meta({ id: 'StudyBundle' });

const shown = ({ maxPieceBytes }: StudyFiles, bundle: ArrivingBundle): z.infer<typeof Bundle> => ({
  ...bundle,
  maxPieceBytes,
});

const begin = endpoint({
  method: 'post',
  path: '/api/studies/bundles',
  summary:
    'Announces a study bundle; the same file that somebody began to send goes on where that ended, within an hour of its last piece',
  role: 'engineer',
  body: z.strictObject({ file: FileName, bytes: z.number().int().min(0) }),
  success: { 201: 'Where to send its bytes' },
  answer: Bundle,
  problems: ['BODY_TOO_LARGE', 'DISK_FULL', 'NOT_FOUND'],
  handle: async ({ sources, who }, { body }) => {
    const { files } = tuningOf(sources).studies;
    return { status: 201, changed: false, body: shown(files, await files.begin(body.file, body.bytes, who)) };
  },
});

const send = endpoint({
  method: 'put',
  path: '/api/studies/bundles/:id/bytes',
  summary: 'The next bytes of a study bundle; what is here already is told by `received`',
  role: 'engineer',
  params: Path,
  query: z.strictObject({ offset: z.coerce.number().int().min(0) }),
  bytes: true,
  success: { 200: 'They are here' },
  answer: Bundle,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE', 'DISK_FULL'],
  // Nothing is changed by it.
  audits: true,
  handle: async ({ sources }, { params, query, bytes }) => {
    const { files } = tuningOf(sources).studies;
    return { ...ok(shown(files, await files.append(params.id, query.offset, bytes))), changed: false };
  },
});

const open = endpoint({
  method: 'post',
  path: '/api/studies/bundles/:id/open',
  summary: 'Asks the question of a study bundle that has arrived again, with the settings, runs and log that it holds',
  role: 'engineer',
  params: Path,
  success: { 202: 'Under way; the study is refused where the bundle cannot be used' },
  answer: Study,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE'],
  handle: ({ sources }, { params }) => ({
    ...{ status: 202, changed: false },
    body: shownStudy(tuningOf(sources).studies.open(params.id)),
  }),
});

const forget = endpoint({
  method: 'delete',
  path: '/api/studies/bundles/:id',
  summary: 'Lets a study bundle go that was not opened',
  role: 'engineer',
  params: Path,
  success: { 200: 'It is gone' },
  answer: z.strictObject({ removed: z.string() }),
  problems: ['NOT_FOUND'],
  handle({ sources }, { params: { id } }) {
    tuningOf(sources).studies.files.forget(id);
    return { ...ok({ removed: id }), changed: false };
  },
});

export const STUDY_BUNDLE_ENDPOINTS: readonly Endpoint[] = [begin, send, open, forget];
