import type { Section } from './batch.ts';
import { EMPTY_BLOCK, firstTime, lastTime, sliceBlock } from './block.ts';
import { cutRows, planChunks } from './chunk-plan.ts';
import { ALL_CHANNELS, chunkAt, deleteChunk, headsAround, insertChunk, unpackChunks } from './chunk-table.ts';
import { gather } from './gather.ts';
import { mergeBlocks } from './merge.ts';
import { saveProvenance } from './provenance.ts';
import { Latecomers, noRepeats, type Repeats, totalRepeats } from './repeats.ts';
import { soundChunks } from './set-aside.ts';
import type { Sql } from './sql.ts';

/**
 * Turns a station's part of the tail into chunks, and says so in its row: within one transaction, so that
 * each reading is in the tail or in a chunk at any moment, and never in both.
 *
 * @param sections all of the station's tail up to `seq`, in the order of commits
 */
export function absorb(sql: Sql, name: string, sections: readonly Section[], seq: number): void {
  const repeats = noRepeats();
  const latecomers = new Latecomers();
  const block = gather(sections, 0, Number.POSITIVE_INFINITY, (text) => textId(sql, text), latecomers);
  if (block.rows === 0) return;
  const [first, last] = [firstTime(block), lastTime(block)];
  const station = stationId(sql, name, first, last);
  let frames = 0;
  for (const task of planChunks(block, headsAround(sql, station, first, last))) {
    const chunk = task.reopen === null ? [] : soundChunks(sql, station, chunkAt(sql, station, task.reopen));
    const existing = chunk.length > 0 ? unpackChunks(chunk, ALL_CHANNELS) : EMPTY_BLOCK;
    const merged = mergeBlocks(existing, sliceBlock(block, task.from, task.to), repeats);
    latecomers.judge(merged, repeats);
    frames += merged.rows - existing.rows;
    if (task.reopen !== null) deleteChunk(sql, station, task.reopen);
    let from = 0;
    for (const to of cutRows(merged.rows, task.atEnd)) {
      insertChunk(sql, station, merged, from, to);
      from = to;
    }
  }
  saveRepeats(sql, station, repeats);
  let readings = -totalRepeats(repeats);
  for (const section of sections) readings += section.readings;
  sql.run(
    `UPDATE station SET chunked_to = ?, first_ms = min(first_ms, ?), last_ms = max(last_ms, ?),
       frames = frames + ?, readings = readings + ? WHERE id = ?`,
    seq,
    first,
    last,
    frames,
    readings,
    station,
  );
  saveProvenance(sql, station, sections);
}

function stationId(sql: Sql, name: string, first: number, last: number): number {
  const known = sql.get<{ id: number }>('SELECT id FROM station WHERE name = ?', name);
  return known?.id ?? sql.run('INSERT INTO station (name, first_ms, last_ms) VALUES (?, ?, ?)', name, first, last).id;
}

function textId(sql: Sql, text: string): number {
  const known = sql.get<{ id: number }>('SELECT id FROM text WHERE text = ?', text);
  return known?.id ?? sql.run('INSERT INTO text (text) VALUES (?)', text).id;
}

function saveRepeats(sql: Sql, station: number, repeats: Repeats): void {
  for (let channel = 0; channel < repeats.duplicates.length; channel++) {
    const duplicates = repeats.duplicates[channel] as number;
    const conflicts = repeats.conflicts[channel] as number;
    if (duplicates + conflicts === 0) continue;
    sql.run(
      `INSERT INTO repeats (station, channel, duplicates, conflicts) VALUES (?, ?, ?, ?)
       ON CONFLICT DO UPDATE SET duplicates = duplicates + excluded.duplicates, conflicts = conflicts + excluded.conflicts`,
      station,
      channel,
      duplicates,
      conflicts,
    );
  }
}
