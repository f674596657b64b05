import type { z } from 'zod';
import { AppError, LogEntryBody, quoted } from '../../collector/contract/index.ts';
import { openStore, type StoredLogEntry } from '../../collector/index.ts';
import { logEntryFrom, RequestFault } from '../server/index.ts';
import { recordedPlant } from './plant-record.ts';

/** Fields of `driftline log add` as typed, times as ISO 8601 with offset or Unix seconds. */
export interface LogAddition {
  readonly dir: string;
  readonly gun: string;
  readonly part: string;
  readonly action: string;
  readonly found?: string | undefined;
  readonly note?: string | undefined;
  readonly time?: string | undefined;
}

/**
 * Writes an entry into the maintenance log of a data folder, also while a service runs on it.
 *
 * @param now wall clock, epoch ms
 * @throws {AppError} USAGE naming each option that does not fit; STORE_UNUSABLE
 */
export function addToLog({ dir, ...fields }: LogAddition, now: number): StoredLogEntry {
  const given = Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));
  const body = LogEntryBody.safeParse(given);
  if (!body.success) throw new AppError('USAGE', body.error.issues.map((issue) => fault(issue, given)).join('; '));
  const store = openStore(dir);
  try {
    const entry = logEntryFrom(body.data, recordedPlant(store, dir), now);
    return store.log.add(entry, { recordedAt: now, source: 'cli' }).entry;
  } catch (error) {
    if (!(error instanceof RequestFault)) throw error;
    const faults = error.errors.map(({ pointer, detail }) => `--${pointer?.replace('#/', '')}: ${detail}`);
    throw new AppError('USAGE', faults.join('; '), { cause: error });
  } finally {
    store.close();
  }
}

function fault(issue: z.core.$ZodIssue, given: Readonly<Record<string, unknown>>): string {
  const field = String(issue.path[0] ?? '');
  const expected =
    issue.code === 'invalid_value'
      ? `one of ${issue.values.filter((value) => value !== '').join(', ')}`
      : issue.message.replace(/^.*?expected /, '');
  return `--${field}: found ${quoted(given[field])}, expected ${expected}`;
}
