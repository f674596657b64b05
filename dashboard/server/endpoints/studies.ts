import { z } from 'zod';
import { Settings, StatedSettings } from '../../../collector/contract/index.ts';
import { savedAs } from '../csv-text.ts';
import { endpoint, ok } from '../endpoint.ts';
import type { StudyState } from '../study-desk.ts';
import { tuningOf } from './settings.ts';

const Time = z.iso.datetime({ offset: true });
const Question = z
  .strictObject({
    kind: z.enum(['compare', 'curve', 'suggest']).meta({
      description:
        'compare: proposed against present; curve: 25 settings around the proposed; suggest: settings for a target',
    }),
    proposed: StatedSettings,
    present: Settings.optional().meta({ description: 'Default: the settings that hold' }),
    from: Time.nullable().default(null),
    to: Time.nullable().default(null),
    targetPerGunYear: z.number().min(0).max(50).nullable().default(null).meta({
      description: 'False alarms against a part accepted per gun and year; for suggest',
    }),
  })
  .refine(({ kind, targetPerGunYear }) => kind !== 'suggest' || targetPerGunYear !== null, {
    path: ['targetPerGunYear'],
    message: 'expected false alarms per gun and year to suggest settings for',
  })
  .meta({ id: 'StudyQuestion' });

export const Study = z
  .strictObject({
    id: z.string(),
    state: z.enum(['running', 'done', 'refused']),
    stage: z.enum(['loading', 'trying']).meta({ description: 'Reading the stored runs, or trying settings on them' }),
    share: z.number().meta({ description: 'How far it has come, 0 to 1' }),
    points: z.array(z.unknown()).meta({ description: 'Points of a curve that are known so far' }),
    answer: z.unknown().nullable(),
    fault: z.string().nullable().meta({ description: 'Why it was refused' }),
  })
  .meta({ id: 'Study' });

const Path = z.strictObject({ id: z.string().regex(/^\d{1,12}$/) });

export function shownStudy({ id, state, asked, answer, fault }: StudyState): z.infer<typeof Study> {
  const { stage, share, points } = asked.progress;
  return {
    id,
    state,
    stage,
    share: state === 'done' ? 1 : share,
    points: [...points],
    answer,
    fault: fault?.message ?? null,
  };
}

export const askStudy = endpoint({
  method: 'post',
  path: '/api/studies',
  summary: 'Asks what settings would have found on the stored history; changes nothing',
  role: 'fitter',
  body: Question,
  success: { 202: 'Under way' },
  answer: Study,
  problems: ['NOT_READY', 'NOT_FOUND'],
  handle({ sources }, { body }) {
    const tuning = tuningOf(sources);
    const present = body.present ?? tuning.versions().at(-1)!.settings;
    const time = (text: string | null): number | null => (text === null ? null : Date.parse(text));
    const question = { ...body, present, from: time(body.from), to: time(body.to) };
    return { status: 202, body: shownStudy(tuning.studies.ask(question)), changed: false };
  },
});

export const readStudy = endpoint({
  method: 'get',
  path: '/api/studies/:id',
  summary: 'How far a study has come, and its answer',
  role: 'fitter',
  params: Path,
  success: { 200: 'The study' },
  answer: Study,
  problems: ['NOT_FOUND'],
  handle: ({ sources }, { params: { id } }) => ok(shownStudy(tuningOf(sources).studies.get(id))),
});

export const saveStudy = endpoint({
  method: 'get',
  path: '/api/studies/:id/bundle',
  summary: 'An answered comparison as a study bundle, which `driftline replay --bundle` reproduces to the last byte',
  role: 'engineer',
  params: Path,
  success: { 200: 'The bundle (gzip). A fault after its begin ends the connection before it is whole' },
  answer: z.unknown().meta({ description: 'Bytes' }),
  media: 'application/gzip',
  problems: ['NOT_FOUND', 'STUDY_UNUSABLE', 'NOT_READY'],
  handle: async ({ sources }, { params: { id } }) => ({
    ...ok(await tuningOf(sources).studies.save(id)),
    headers: { ...savedAs(`study-${id}.gz`), 'Content-Type': 'application/gzip' },
  }),
});

export const cancelStudy = endpoint({
  method: 'delete',
  path: '/api/studies/:id',
  summary: 'Ends a study, or lets its answer go',
  role: 'fitter',
  params: Path,
  success: { 200: 'Ended' },
  answer: z.strictObject({ id: z.string() }),
  problems: ['NOT_FOUND'],
  handle({ sources }, { params: { id } }) {
    tuningOf(sources).studies.cancel(id);
    return { ...ok({ id }), changed: false };
  },
});
