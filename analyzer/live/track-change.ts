import { RUN_FIELDS, type RunTable } from '../../collector/contract/index.ts';
import { noticedAt } from '../runs/track.ts';
import type { StationFact } from '../site.ts';

/** Start of the first run in which two tables differ; Infinity when they are alike. */
export function firstRunChange(old: RunTable, fresh: RunTable): number {
  const shared = Math.min(old.length, fresh.length);
  let row = shared;
  for (const field of RUN_FIELDS)
    row =
      field === 'powder'
        ? firstOtherPowder(old, fresh, row)
        : firstDifference(old.columns[field], fresh.columns[field], row);
  if (row < shared) return Math.min(old.columns.start[row]!, fresh.columns.start[row]!);
  const longer = old.length > shared ? old : fresh;
  return longer.length > shared ? longer.columns.start[shared]! : Number.POSITIVE_INFINITY;
}

/** First of `length` rows in which two columns differ; `length` when there is none. */
function firstDifference(before: Float64Array, now: Float64Array, length: number): number {
  if (before.buffer === now.buffer && before.byteOffset === now.byteOffset) return length;
  // Mostly they are alike, and bytes are compared many times faster than numbers; bytes may differ where numbers do not (NaN).
  if (Buffer.compare(bytesOf(before, length), bytesOf(now, length)) === 0) return length;
  for (let row = 0; row < length; row++) if (!Object.is(before[row], now[row])) return row;
  return length;
}

const bytesOf = ({ buffer, byteOffset }: Float64Array, length: number): Uint8Array =>
  new Uint8Array(buffer, byteOffset, 8 * length);

/** The same of powders, whatever their numbers are. */
function firstOtherPowder(old: RunTable, fresh: RunTable, length: number): number {
  if (old.powders.every((powder, number) => fresh.powders[number] === powder))
    return firstDifference(old.columns.powder, fresh.columns.powder, length);
  for (let row = 0; row < length; row++)
    if (old.powders[old.columns.powder[row]!] !== fresh.powders[fresh.columns.powder[row]!]) return row;
  return length;
}

/** Reading time of the first fact that only one of two lists has, whatever their order. */
export function firstFactChange(old: readonly StationFact[], fresh: readonly StationFact[]): number {
  const unmatched = new Map<string, { readonly noticed: number; count: number }>();
  const count = (facts: readonly StationFact[], by: number): void => {
    for (const fact of facts) {
      const text = JSON.stringify(fact);
      const known = unmatched.get(text);
      if (known === undefined) unmatched.set(text, { noticed: noticedAt(fact), count: by });
      else known.count += by;
    }
  };
  count(old, 1);
  count(fresh, -1);
  let from = Number.POSITIVE_INFINITY;
  for (const { noticed, count: left } of unmatched.values()) if (left !== 0) from = Math.min(from, noticed);
  return from;
}
