import { RUN_FIELDS, type RunTable } from '../../collector/contract/index.ts';
import { noticedAt } from '../runs/track.ts';
import type { StationFact } from '../site.ts';

/** Start of the first run in which two tables differ; Infinity when they are alike. */
export function firstRunChange(old: RunTable, fresh: RunTable): number {
  const shared = Math.min(old.length, fresh.length);
  for (let row = 0; row < shared; row++) {
    if (sameRun(old, fresh, row)) continue;
    return Math.min(old.columns.start[row]!, fresh.columns.start[row]!);
  }
  const longer = old.length > shared ? old : fresh;
  return longer.length > shared ? longer.columns.start[shared]! : Number.POSITIVE_INFINITY;
}

function sameRun(old: RunTable, fresh: RunTable, row: number): boolean {
  for (const field of RUN_FIELDS) {
    const before = old.columns[field][row]!;
    const now = fresh.columns[field][row]!;
    const same = field === 'powder' ? old.powders[before] === fresh.powders[now] : Object.is(before, now);
    if (!same) return false;
  }
  return true;
}

/** Reading time of the first fact in which two lists differ. */
export function firstFactChange(old: readonly StationFact[], fresh: readonly StationFact[]): number {
  for (let index = 0; index < Math.max(old.length, fresh.length); index++) {
    const [before, now] = [old[index], fresh[index]];
    if (before !== undefined && now !== undefined && JSON.stringify(before) === JSON.stringify(now)) continue;
    return Math.min(before ? noticedAt(before) : Infinity, now ? noticedAt(now) : Infinity);
  }
  return Number.POSITIVE_INFINITY;
}
