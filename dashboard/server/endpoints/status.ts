import { z } from 'zod';
import { AppError } from '../../../collector/contract/index.ts';
import { DAMAGED_KINDS } from '../../../collector/index.ts';
import { lostAfterMs } from '../age.ts';
import { endpoint, ok } from '../endpoint.ts';

const Time = z.iso.datetime();
const Bytes = z.number().meta({ unit: 'B' });

export const Status = z
  .strictObject({
    now: Time,
    startedAt: Time,
    /** One sentence when readings are not being taken or analysed. */
    trouble: z.string().nullable(),
    disk: z.strictObject({
      usedBytes: Bytes,
      freeBytes: Bytes,
      growthBytesPerDay: z.number().nullable().meta({ description: 'Null while it is not known' }),
      daysLeft: z.number().nullable().meta({ description: 'Null where the room does not shrink, or is not known' }),
      warning: z.string().nullable(),
    }),
    retention: z.strictObject({ rawDays: z.number(), thinnedDays: z.number(), runsDays: z.number() }),
    stations: z.array(
      z.strictObject({
        id: z.string(),
        name: z.string(),
        newest: Time.nullable(),
        ageSeconds: z.number().nullable(),
        lost: z.boolean().meta({ description: 'Nothing came for longer than it usually takes' }),
        online: z.boolean().nullable(),
        clockOffsetSeconds: z.number().nullable().meta({
          description: 'By how much its clock is ahead, and its readings are corrected; null while it is right',
        }),
      }),
    ),
    refused: z.array(
      z.strictObject({
        reason: z.string(),
        means: z.string(),
        received: z.number().int(),
        kept: z.number().int(),
        dropped: z.number().int(),
      }),
    ),
    damaged: z
      .array(
        z.strictObject({
          kind: z.enum(DAMAGED_KINDS),
          id: z.string().nullable(),
          station: z.string().nullable().meta({ description: 'Null where it cannot be told any more' }),
          from: Time,
          to: Time,
          why: z.string().meta({ description: 'What is damaged, what was found and what was expected' }),
        }),
      )
      .meta({ description: 'What was kept and cannot be read any more' }),
    historian: z
      .strictObject({
        target: z.string(),
        delivered: z.number().int(),
        refused: z.number().int(),
        waiting: z.number().int(),
        caughtUpAt: Time.nullable(),
        fault: z.string().nullable(),
      })
      .nullable(),
  })
  .meta({ id: 'Status' });
export type Status = z.infer<typeof Status>;

export const status = endpoint({
  method: 'get',
  path: '/api/status',
  role: 'fitter',
  summary: 'The service itself: disk and its forecast, retention, how stations are heard, what was refused',
  success: { 200: 'The service' },
  answer: Status,
  problems: ['NOT_FOUND'],
  handle({ sources, clock }) {
    if (!sources.status) throw new AppError('NOT_FOUND', 'no status is kept here');
    const { startedAt, disk, retention, stations, refused, damaged, historian } = sources.status.status();
    const now = clock.now();
    const { growthPerDay, ...room } = disk;
    return ok<Status>({
      now: iso(now),
      startedAt: iso(startedAt),
      trouble: sources.notReady(),
      disk: { ...room, growthBytesPerDay: growthPerDay },
      retention,
      stations: stations.map(({ id, name, newest, online, clockOffsetMs }) => ({
        id,
        name,
        newest: newest === null ? null : iso(newest),
        ageSeconds: newest === null ? null : Math.max(0, Math.round((now - newest) / 1000)),
        lost: newest === null || now - newest > lostAfterMs(sources.latest(id)?.intervalMs ?? null),
        online,
        clockOffsetSeconds: clockOffsetMs === null ? null : Math.round(clockOffsetMs / 1000),
      })),
      refused: [...refused],
      damaged: damaged.map(({ from, to, ...rest }) => ({ ...rest, from: iso(from), to: iso(to) })),
      historian:
        historian === null
          ? null
          : { ...historian, caughtUpAt: historian.caughtUpAt === null ? null : iso(historian.caughtUpAt) },
    });
  },
});

function iso(ms: number): string {
  return new Date(ms).toISOString();
}
