import { CHANNELS } from '../contract/channels.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import { LARGEST_TIME } from './batch.ts';
import type { Block } from './block.ts';
import { chunkKey } from './chunk-table.ts';
import { soundDay, THINNED_DAY, type ThinnedRow, thinnedFault, thinnedSpan } from './damaged-thinned.ts';
import type { MetDamage } from './met-damage.ts';
import type { Sql } from './sql.ts';
import type { Minutes } from './store.ts';
import { dayOf, decodeDay, ThinnedDay } from './thinned-day.ts';

/** Adds rows of a block that lie in one day to what is kept of it. @returns how many readings they were */
export function thinRows(sql: Sql, station: number, block: Block, from: number, to: number, spanMs: number): number {
  const key = chunkKey(station, dayOf(block.times[from]!));
  const day = new ThinnedDay(spanMs);
  const before = soundDay(sql, station, dayOf(block.times[from]!));
  const readings = day.addRows(block, from, to);
  if (before) day.addStored(before.body);
  sql.run(
    `INSERT INTO thinned (key, last_ms, body) VALUES (?, ?, ?)
     ON CONFLICT DO UPDATE SET last_ms = excluded.last_ms, body = excluded.body`,
    key,
    Math.max(before?.last ?? 0, block.times[to - 1]!),
    day.encoded(),
  );
  return readings;
}

/**
 * Thinned readings of a station: spans that start in [from, to), ascending. Their length is in `spanMs`, by row.
 *
 * @throws {AppError} READINGS_DAMAGED, where they are refused
 */
export function readThinned(
  sql: Sql,
  station: number,
  name: string,
  from: number,
  to: number,
  wanted: number,
  damage: MetDamage,
): ThinnedSpans {
  const times: number[] = [];
  const spans: number[] = [];
  const columns: (number[][] | null)[] = CHANNELS.map(() => null);
  damage.refuse([], 'thinned readings', name, from, to);
  const days = sql.all<ThinnedRow>(
    `SELECT ${THINNED_DAY} FROM thinned WHERE key >= ? AND key < ? AND last_ms >= ? ORDER BY key`,
    chunkKey(station, Math.max(0, dayOf(from))),
    to > LARGEST_TIME ? chunkKey(station + 1, 0) : chunkKey(station, Math.max(0, Math.ceil(to))),
    from,
  );
  for (const { body } of damage.sound(days, thinnedFault, (day, fault) => thinnedSpan(name, day, fault))) {
    const { spanMs, rollup } = decodeDay(body);
    for (const [row, start] of rollup.minutes.entries()) {
      if (start < from || start >= to) continue;
      times.push(start);
      spans.push(spanMs);
      for (const [channel, sums] of rollup.columns.entries()) {
        if (!sums || (wanted & (1 << channel)) === 0) continue;
        const count = sums.count[row]!;
        const column = columns[channel] ?? [];
        columns[channel] = column;
        const scale = CHANNEL_STEPS[channel] as number;
        column[times.length - 1] =
          count === 0 ? [] : [sums.min[row]!, sums.max[row]!, sums.sum[row]! / scale / count, count];
      }
    }
  }
  const result: { -readonly [Name in keyof Minutes['columns']]: Minutes['columns'][Name] } = {};
  for (const [channel, column] of columns.entries()) {
    if (!column) continue;
    const part = (index: number, none: number): Float64Array =>
      Float64Array.from({ length: times.length }, (_, row) => column[row]?.[index] ?? none);
    result[CHANNELS[channel]!.name] = {
      min: part(0, Number.NaN),
      max: part(1, Number.NaN),
      mean: part(2, Number.NaN),
      count: part(3, 0),
    };
  }
  return { station: name, times: Float64Array.from(times), spanMs: Float64Array.from(spans), columns: result };
}

/** Like minutes, of spans as long as retention made them. */
export interface ThinnedSpans extends Minutes {
  readonly spanMs: Float64Array;
}
