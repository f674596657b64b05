import { z } from 'zod';

const days = (standard: number, description: string) =>
  z.number().int().min(0).max(36_500).default(standard).meta({ description, unit: 'd', restart: true });

/** How long what is kept, and when a filling disk is warned of. */
export const RetentionConfig = z
  .strictObject({
    rawDays: days(400, 'How long raw readings are kept; older ones are thinned; 0 for ever'),
    thinnedDays: days(3650, 'How long thinned readings are kept; 0 for ever'),
    runsDays: days(0, 'How long spray runs are kept; 0 for ever'),
    thinnedMinutes: z.number().int().min(1).max(1440).default(10).meta({
      description: 'Span of which thinned readings keep least, largest, mean and count',
      unit: 'min',
      restart: true,
    }),
    warnDiskDays: days(30, 'A disk that will be full so soon is warned of'),
    warnFreeBytes: z
      .number()
      .int()
      .min(0)
      .default(1024 * 1024 * 1024)
      .meta({ description: 'So little free room is warned of', unit: 'B', restart: true }),
  })
  .superRefine(({ rawDays, thinnedDays }, context) => {
    // Thinned readings are made of raw ones at that age: they would go on the day on which they come.
    if (rawDays > 0 && thinnedDays > 0 && thinnedDays < rawDays)
      context.addIssue({
        code: 'custom',
        path: ['thinnedDays'],
        message: `expected at least retention.rawDays (${rawDays}), or 0 for ever`,
      });
  });
export type RetentionConfig = z.infer<typeof RetentionConfig>;
