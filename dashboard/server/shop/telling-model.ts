import { z } from 'zod';

/** Whom driftline tells, and what became of it. Addresses, bodies and secrets are not in it. */
export const TellingAnswer = z
  .strictObject({
    targets: z.array(z.string()).meta({ description: '`mail`, and each webhook by its name' }),
    waiting: z.number().int(),
    sent: z.number().int(),
    failed: z.number().int().meta({ description: 'Given up' }),
    messages: z.array(
      z.strictObject({
        target: z.string(),
        kind: z.string(),
        createdAt: z.iso.datetime(),
        state: z.enum(['waiting', 'sent', 'failed']),
        attempts: z.number().int(),
        nextAt: z.iso.datetime().nullable(),
        fault: z.string().nullable(),
      }),
    ),
  })
  .meta({ id: 'Telling' });
export type TellingAnswer = z.infer<typeof TellingAnswer>;

export interface TellingSource {
  state(limit: number): TellingAnswer;
  /** Sends a test to every target. @returns targets */
  test(who: string): readonly string[];
}
