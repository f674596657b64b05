import { z } from 'zod';

/** One thing that was done or shown. */
export const JournalLine = z
  .strictObject({
    time: z.iso.datetime().meta({ description: 'When it happened' }),
    recordedAt: z.iso.datetime(),
    kind: z.enum(['work', 'correction', 'shelf', 'figures', 'settings', 'finding', 'job', 'word']),
    gun: z.string().nullable(),
    subject: z.string().meta({ description: 'Part, cause or what else it is about' }),
    what: z.string(),
    note: z.string(),
    who: z.string(),
    entry: z.number().int().nullable().meta({ description: 'Number of the log entry, for work' }),
    takenBack: z
      .string()
      .nullable()
      .meta({ description: 'By whom, when and why it was taken back; the original stays' }),
  })
  .meta({ id: 'JournalLine' });
export type JournalLine = z.infer<typeof JournalLine>;

/** A shift or a week on one page. */
export const Report = z
  .strictObject({
    kind: z.enum(['shift', 'week']),
    from: z.iso.datetime(),
    to: z.iso.datetime(),
    guns: z.array(
      z.strictObject({
        gun: z.string(),
        name: z.string(),
        state: z.string(),
        sprayHours: z.number(),
        kilograms: z.number().nullable(),
        excessAir: z.number().nullable(),
        remaining: z.strictObject({ p10: z.number(), p50: z.number(), p90: z.number() }).nullable(),
        findings: z.number().int().meta({ description: 'Raised within the time' }),
      }),
    ),
    open: z.array(
      z.strictObject({
        gun: z.string(),
        part: z.string().nullable(),
        action: z.string(),
        reason: z.string(),
        category: z.string(),
        byShifts: z.number().nullable(),
        stock: z.string().nullable(),
      }),
    ),
    raised: z.array(z.strictObject({ gun: z.string(), cause: z.string(), category: z.string(), at: z.iso.datetime() })),
    cleared: z.array(z.strictObject({ gun: z.string(), cause: z.string(), at: z.iso.datetime() })),
    done: z.array(JournalLine),
    toOrder: z.array(z.strictObject({ part: z.string(), onHand: z.number().nullable(), order: z.number() })),
  })
  .meta({ id: 'Report' });
export type Report = z.infer<typeof Report>;
