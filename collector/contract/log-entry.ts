import { z } from 'zod';
import { CHANNEL_NAMES } from './channels.ts';
import { ACTIONS, FOUND, PART_IDS } from './parts.ts';
import { parseTime } from './time.ts';

/** Subjects of a log entry: a part of the gun, or `sensor:<channel>` for a sensor that was exchanged. */
export const SUBJECTS: readonly string[] = [...PART_IDS, ...CHANNEL_NAMES.map((name) => `sensor:${name}`)];

/** One line of the maintenance log: something that a person did to a gun. */
export interface LogEntry {
  /** Epoch ms, when it was done. */
  readonly time: number;
  readonly gun: string;
  /** A part id or `sensor:<channel>`. */
  readonly part: string;
  readonly action: (typeof ACTIONS)[number];
  readonly found: (typeof FOUND)[number] | null;
  readonly note: string;
  /** What was measured on the part, e.g. the stand-off of a wear gauge. */
  readonly measured?: Measured | null;
}

export interface Measured {
  readonly value: number;
  readonly unit: string;
}

/** The body of `POST /api/log`: the log's columns, as its file has them; `time` may be left out and is now then. */
export const LogEntryBody = z.strictObject({
  time: z
    .string()
    .max(40)
    .refine((text) => Number.isFinite(parseTime(text)), 'expected ISO 8601 with offset or Unix seconds')
    .optional()
    .meta({ description: 'When it was done, ISO 8601 with offset or Unix seconds; default now' }),
  gun: z.string().max(40),
  part: z.enum(SUBJECTS as [string, ...string[]]),
  action: z.enum(ACTIONS),
  found: z.enum([...FOUND, '']).nullish(),
  note: z.string().max(2000, 'expected at most 2000 characters').optional(),
  measured: z
    .strictObject({ value: z.number().min(-1e6).max(1e6), unit: z.string().min(1).max(20) })
    .nullish()
    .meta({ description: 'What was measured on the part: for the pump insert the stand-off of the wear gauge in mm' }),
  again: z
    .boolean()
    .optional()
    .meta({ description: 'True: this was really done a second time within a quarter of an hour' }),
});
export type LogEntryBody = z.infer<typeof LogEntryBody>;
