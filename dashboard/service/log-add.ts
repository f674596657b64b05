import type { z } from 'zod';
import { AppError, LogEntryBody, quoted } from '../../collector/contract/index.ts';
import { describeIssue, openStore, type StoredLogEntry } from '../../collector/index.ts';
import { logEntryFrom, RequestFault } from '../server/index.ts';
import { recordedPlant } from './plant-record.ts';

/** Who logs the same work on the same part again so soon tells it twice. Source: own choice: no part is changed twice in a quarter of an hour. */
export const ONCE_WITHIN_MS = 15 * 60_000;

/** Fields of `driftline log add` as typed, times as ISO 8601 with offset or Unix seconds. */
export interface LogAddition {
  readonly dir: string;
  readonly gun: string;
  readonly part: string;
  readonly action: string;
  readonly found?: string | undefined;
  readonly note?: string | undefined;
  readonly time?: string | undefined;
  /** As typed: a number and its unit. */
  readonly measured?: string | undefined;
  readonly again?: boolean | undefined;
}

/**
 * Writes an entry into the maintenance log of a data folder, also while a service runs on it.
 *
 * @param now wall clock, epoch ms
 * @throws {AppError} USAGE naming each option that does not fit; STORE_UNUSABLE
 */
export function addToLog({ dir, measured, ...fields }: LogAddition, now: number): StoredLogEntry {
  const given: Record<string, unknown> = Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== undefined),
  );
  if (measured !== undefined) given.measured = measuredFrom(measured);
  const body = LogEntryBody.safeParse(given);
  if (!body.success) throw new AppError('USAGE', body.error.issues.map((issue) => fault(issue, given)).join('; '));
  const store = openStore(dir);
  try {
    const entry = logEntryFrom(body.data, recordedPlant(store, dir), now);
    return store.log.add(entry, {
      recordedAt: now,
      source: 'cli',
      onceWithinMs: fields.again ? undefined : ONCE_WITHIN_MS,
    }).entry;
  } catch (error) {
    if (!(error instanceof RequestFault)) throw error;
    const faults = error.errors.map(({ pointer, detail }) => `--${pointer?.replace('#/', '')}: ${detail}`);
    throw new AppError('USAGE', faults.join('; '), { cause: error });
  } finally {
    store.close();
  }
}

/** "12.5 mm" as a value and its unit. @throws {AppError} USAGE */
function measuredFrom(text: string): { value: number; unit: string } {
  const match = /^(-?\d{1,6}(?:\.\d{1,6})?) ?([^\s\d]{1,20})$/.exec(text.trim());
  if (match === null)
    throw new AppError('USAGE', `--measured: found ${quoted(text)}, expected a number and its unit such as "12 mm"`);
  return { value: Number(match[1]), unit: match[2]! };
}

function fault(issue: z.core.$ZodIssue, given: Readonly<Record<string, unknown>>): string {
  const { path, found, wanted } = describeIssue(issue, given, LogEntryBody);
  return `--${String(path[0] ?? '')}: found ${found}, expected ${wanted}`;
}
