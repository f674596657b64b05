import { z } from 'zod';
import { FOUND } from '../../../collector/contract/index.ts';
import type { StoredDismissal } from '../../../collector/index.ts';
import type { OfferedChange } from '../baseline-source.ts';
import { type Endpoint, endpoint, ok } from '../endpoint.ts';
import { baselinesOf } from './baselines.ts';
import { Recorded } from './log.ts';

const Time = z.iso.datetime({ offset: true });
const Offered = z
  .strictObject({
    gun: z.string(),
    part: z.string(),
    time: z.iso.datetime().meta({ description: 'When the air shows it' }),
    noticed: z.iso.datetime(),
    excessBefore: z.number().meta({ description: 'Excess air before it' }),
    excessAfter: z.number(),
    sd: z.number().meta({ description: 'Deviation of the gain, ln of air' }),
    sprayHours: z.number().nullable().meta({ description: 'Spray hours of the part until then; null where not known' }),
    counted: z.boolean().meta({ description: 'The analysis takes the part as new already' }),
  })
  .meta({ id: 'SilentChange' });
const Dismissed = z
  .strictObject({
    id: z.number().int(),
    gun: z.string(),
    part: z.string(),
    time: z.iso.datetime(),
    reason: z.string(),
    at: z.iso.datetime(),
    who: z.string(),
  })
  .meta({ id: 'DismissedChange' });
const Answer = z
  .strictObject({ offered: z.array(Offered), dismissed: z.array(Dismissed) })
  .meta({ id: 'SilentChanges' });
export type SilentChanges = z.infer<typeof Answer>;

const iso = (time: number): string => new Date(time).toISOString();
const offered = ({ before, after, time, noticed, ...rest }: OfferedChange): z.infer<typeof Offered> => ({
  ...rest,
  ...{ time: iso(time), noticed: iso(noticed), excessBefore: before, excessAfter: after },
});
const dismissed = ({ id, gun, part, time, reason, at, who }: StoredDismissal): z.infer<typeof Dismissed> => ({
  ...{ id, gun, part, reason, who, time: iso(time), at: iso(at) },
});

const silentChanges = endpoint({
  method: 'get',
  path: '/api/silent-changes',
  summary:
    'Changes of parts that the air seems to show and nobody logged, to be confirmed or dismissed; and what was dismissed',
  role: 'wall',
  query: z.strictObject({ gun: z.string().max(40).optional() }),
  success: { 200: 'Newest first' },
  answer: Answer,
  problems: [],
  handle({ sources }, { query: { gun } }) {
    const own = (one: { readonly gun: string }): boolean => gun === undefined || one.gun === gun;
    return ok({
      offered: (sources.baselines?.offered() ?? []).filter(own).map(offered),
      dismissed: (sources.baselines?.dismissals() ?? []).filter(own).map(dismissed),
    });
  },
});

const Change = { gun: z.string().max(40), part: z.string().max(80), time: Time };

const confirmChange = endpoint({
  method: 'post',
  path: '/api/silent-changes/confirm',
  summary:
    'Writes such a change into the log, at the time that the air shows or one that is given; undone like any log entry',
  role: 'fitter',
  body: z
    .strictObject({
      ...Change,
      doneAt: Time.nullable().default(null),
      found: z.enum(FOUND).nullable().default(null),
      note: z.string().trim().max(2000).default(''),
    })
    .meta({ id: 'ConfirmChangeBody' }),
  success: { 201: 'In the log' },
  answer: Recorded,
  problems: ['NOT_FOUND', 'LOGGED_ALREADY'],
  handle({ sources, who }, { body: { time, doneAt, ...body } }) {
    const asked = { ...body, time: Date.parse(time), doneAt: doneAt === null ? null : Date.parse(doneAt) };
    const {
      id,
      gun,
      part,
      action,
      found,
      note,
      measured,
      recordedAt,
      time: at,
      who: by,
    } = baselinesOf(sources).confirm(asked, who);
    return {
      status: 201,
      body: {
        ...{ id: String(id), gun, part, action, found, note, measured: measured ?? null, who: by },
        ...{ time: iso(at), recordedAt: iso(recordedAt) },
      },
    };
  },
});

const dismissChange = endpoint({
  method: 'post',
  path: '/api/silent-changes/dismiss',
  summary: 'Says that there was no such change: it is not offered again, and counts no more',
  role: 'fitter',
  body: z.strictObject({ ...Change, reason: z.string().trim().min(1).max(500) }).meta({ id: 'DismissChangeBody' }),
  success: { 201: 'Dismissed' },
  answer: Dismissed,
  problems: ['NOT_FOUND'],
  handle: ({ sources, who }, { body }) => ({
    status: 201,
    body: dismissed(baselinesOf(sources).dismiss({ ...body, time: Date.parse(body.time) }, who)),
  }),
});

const undoDismissal = endpoint({
  method: 'delete',
  path: '/api/silent-changes/dismissals/:id',
  summary: 'Takes a dismissal back: the change is offered again where the air still speaks for it',
  role: 'fitter',
  params: z.strictObject({ id: z.coerce.number().int().min(1) }),
  success: { 200: 'Taken back' },
  answer: z.strictObject({ id: z.number().int() }),
  problems: ['NOT_FOUND'],
  handle({ sources, who }, { params: { id } }) {
    baselinesOf(sources).undoDismissal(id, who);
    return ok({ id });
  },
});

export const SILENT_CHANGE_ENDPOINTS: readonly Endpoint[] = [
  silentChanges,
  confirmChange,
  dismissChange,
  undoDismissal,
];
