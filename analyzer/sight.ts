import { z } from 'zod';
import { PART_IDS } from '../collector/contract/index.ts';

/** What one gun's sensors let be seen of one part. */
export const PartSight = z.strictObject({
  part: z.enum(PART_IDS),
  /** first: named by the air alone; candidate: only named with its bench check; none: kept by hours, kilograms and inspection. */
  seen: z.enum(['first', 'candidate', 'none']),
  /** Smallest change that is told with the sensors fitted, as a share, and of what; null where none is. */
  smallestChange: z.number().nullable(),
  of: z.enum(['excess air', 'conductance', 'inlet pressure, bar']).nullable(),
  /** Spray hours after such a change until it is told. */
  sprayHours: z.number().nullable(),
  /** Channels that would be needed, or would help; empty where nothing more would. */
  missing: z.array(z.string()),
  why: z.string(),
});
export type PartSight = z.infer<typeof PartSight>;
