import { CHANNEL_NAMES } from '../contract/channels.ts';
import type { Minutes } from './store.ts';

/** Rows of both, ascending; where both have a row of the same start, the first's comes first. */
export function mergeMinutes(first: Minutes, second: Minutes): Minutes {
  if (first.times.length === 0) return second;
  const rows: (readonly [Minutes, number])[] = [];
  for (let i = 0, k = 0; i < first.times.length || k < second.times.length; )
    if (k >= second.times.length || (first.times[i] ?? Number.POSITIVE_INFINITY) <= second.times[k]!)
      rows.push([first, i++]);
    else rows.push([second, k++]);
  const columns: { -readonly [Name in keyof Minutes['columns']]: Minutes['columns'][Name] } = {};
  for (const name of CHANNEL_NAMES) {
    if (!first.columns[name] && !second.columns[name]) continue;
    const part = (field: 'min' | 'max' | 'mean' | 'count', none: number): Float64Array =>
      Float64Array.from(rows, ([from, row]) => from.columns[name]?.[field][row] ?? none);
    columns[name] = {
      min: part('min', Number.NaN),
      max: part('max', Number.NaN),
      mean: part('mean', Number.NaN),
      count: part('count', 0),
    };
  }
  return { station: second.station, times: Float64Array.from(rows, ([from, row]) => from.times[row]!), columns };
}
