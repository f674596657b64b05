import { stringify } from 'csv-stringify/sync';
import type { LogEntry } from '../../collector/contract/log-entry.ts';
import { isoWithOffset } from '../calendar/shop-day.ts';

/** The maintenance log of a hall as the contract's CSV, in order of time. */
export function logCsv(entries: readonly LogEntry[], timezone: string): string {
  const rows = [...entries]
    .sort((left, right) => left.time - right.time || (left.gun < right.gun ? -1 : 1))
    .map(({ time, gun, part, action, found, note }) => [
      isoWithOffset(time, timezone),
      gun,
      part,
      action,
      found ?? '',
      note,
    ]);
  return stringify([['time', 'gun', 'part', 'action', 'found', 'note'], ...rows]);
}
