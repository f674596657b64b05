import type { Channel } from '../contract/channels.ts';
import { CHANNELS } from '../contract/channels.ts';
import type { Frames } from '../contract/frames.ts';
import type { Section } from './batch.ts';
import { type Block, EMPTY_BLOCK, firstTime, lastTime, rowAt, sliceBlock } from './block.ts';
import { ALL_CHANNELS, chunkAfter, chunkRows } from './chunk-table.ts';
import { gather } from './gather.ts';
import { mergeBlocks } from './merge.ts';
import { mergeMinutes } from './merge-minutes.ts';
import { type DamagedReadings, MetDamage } from './met-damage.ts';
import { readMinutes } from './minutes.ts';
import { provenanceOf } from './provenance.ts';
import { Latecomers, noRepeats, type Repeats, totalRepeats } from './repeats.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan, Minutes, Provenance, Readings, StationCounts, StationInfo } from './store.ts';
import { Tail } from './tail.ts';
import { TextTable } from './text-table.ts';
import { readThinned, type ThinnedSpans } from './thinned.ts';
import { channelBits, toFrames } from './to-frames.ts';

/** Chunks that one block of an iteration takes. Source: own choice: some 65 000 frames, a few megabytes. */
const CHUNKS_A_BLOCK = 128;

interface StationRow {
  readonly id: number;
  readonly chunkedTo: number;
  readonly firstTime: number;
  readonly lastTime: number;
  readonly frames: number;
  readonly readings: number;
}

/** Chunks and tail of one station as one transaction sees them. */
interface Snapshot {
  readonly row: StationRow | null;
  readonly station: string;
  readonly sections: Section[];
}

export interface ReadingsOptions {
  /** Whether packs count that wait for their station's clock. Default true. */
  readonly withWaiting?: boolean;
  readonly damaged?: DamagedReadings;
}

/** Readings of the embedded store: tail and chunks as one. */
export class EmbeddedReadings implements Readings {
  readonly #sql: Sql;
  readonly #tail: Tail;
  readonly #texts = new TextTable();
  readonly #damage: MetDamage;

  constructor(sql: Sql, { withWaiting = true, damaged = 'refused' }: ReadingsOptions = {}) {
    this.#sql = sql;
    this.#tail = new Tail(withWaiting);
    this.#damage = new MetDamage(sql, damaged);
  }

  damaged(station?: string, from = 0, to = Number.POSITIVE_INFINITY): DamagedSpan[] {
    const kinds = ['readings', 'thinned readings'] as const;
    return this.#damage.list(this.#tail.damaged(), { station: station ?? null, from, to, kinds });
  }

  frames(station: string, from: number, to: number, channels?: readonly Channel[]): Frames {
    const wanted = channelBits(channels);
    return this.#damage.reading(() =>
      toFrames(station, this.#block(this.#snapshot(station, from, to), from, to, wanted), wanted, this.#texts.texts),
    );
  }

  *iterateFrames(station: string, from: number, to: number, channels?: readonly Channel[]): Generator<Frames> {
    const wanted = channelBits(channels);
    let cursor = from;
    while (cursor < to) {
      const { frames, end } = this.#damage.reading(() => {
        // The whole span: it is better refused before anything of it was given.
        const snapshot = this.#snapshot(station, cursor, to);
        const until = (snapshot.row && chunkAfter(this.#sql, snapshot.row.id, cursor, to, CHUNKS_A_BLOCK)) ?? to;
        const block = this.#block(snapshot, cursor, until, wanted);
        return { frames: toFrames(station, block, wanted, this.#texts.texts), end: until };
      });
      if (frames.times.length > 0) yield frames;
      cursor = end;
    }
  }

  minutes(station: string, from: number, to: number, channels?: readonly Channel[]): Minutes {
    return this.#damage.reading(() => {
      const { row, sections } = this.#snapshot(station, from, to);
      const tail = this.#gather(overlapping(sections, from, to), from, to, null);
      const read = (start: number, end: number): Block =>
        row ? this.#chunks(station, row.id, start, end, ALL_CHANNELS) : EMPTY_BLOCK;
      const wanted = channelBits(channels);
      const fine = readMinutes(this.#sql, { station, id: row?.id ?? null, tail, read }, from, to, wanted);
      return row ? mergeMinutes(readThinned(this.#sql, row.id, station, from, to, wanted, this.#damage), fine) : fine;
    });
  }

  thinned(station: string, from: number, to: number, channels?: readonly Channel[]): ThinnedSpans {
    return this.#damage.reading(() => {
      const id = this.#stationRow(station)?.id ?? -1;
      return readThinned(this.#sql, id, station, from, to, channelBits(channels), this.#damage);
    });
  }

  thinnedAway(station: string): { rawFrom: number; frames: number; readings: number } | null {
    const row = this.#sql.get<{ rawFrom: number; frames: number; readings: number }>(
      `SELECT raw_from AS rawFrom, thinning.frames, thinning.readings FROM thinning
       JOIN station ON station.id = thinning.station WHERE name = ?`,
      station,
    );
    return row ?? null;
  }

  stations(): StationInfo[] {
    return this.#sql.read(() => {
      this.#tail.refresh(this.#sql);
      const found = new Map<string, StationInfo>();
      const rows = this.#sql.all<StationInfo & { chunkedTo: number }>(
        'SELECT name AS station, chunked_to AS chunkedTo, first_ms AS firstTime, last_ms AS lastTime FROM station',
      );
      const chunkedTo = new Map(rows.map((row) => [row.station, row.chunkedTo]));
      for (const { station, firstTime, lastTime } of rows) found.set(station, { station, firstTime, lastTime });
      for (const station of this.#tail.stations()) {
        let { firstTime, lastTime } = found.get(station) ?? { firstTime: Infinity, lastTime: -Infinity };
        for (const section of this.#tail.sections(station, chunkedTo.get(station) ?? 0)) {
          firstTime = Math.min(firstTime, section.minTime);
          lastTime = Math.max(lastTime, section.maxTime);
        }
        found.set(station, { station, firstTime, lastTime });
      }
      return [...found.values()].sort((left, right) => (left.station < right.station ? -1 : 1));
    });
  }

  repeats(): { channel: Channel; duplicates: number; conflicts: number }[] {
    return this.#sql
      .all<{ channel: number; duplicates: number; conflicts: number }>(
        `SELECT channel, sum(duplicates) AS duplicates, sum(conflicts) AS conflicts FROM repeats GROUP BY channel`,
      )
      .map(({ channel, duplicates, conflicts }) => ({ channel: CHANNELS[channel]!.name, duplicates, conflicts }));
  }

  counts(station: string): StationCounts {
    return this.#damage.reading(() => {
      const { row, sections } = this.#snapshot(station, 0, Number.POSITIVE_INFINITY);
      const repeats = this.#storedRepeats(row);
      let received = 0;
      for (const section of sections) received += section.readings;
      const before = totalRepeats(repeats);
      const latecomers = new Latecomers();
      const tail = this.#gather(sections, 0, Number.POSITIVE_INFINITY, latecomers);
      let newFrames = 0;
      if (tail.rows > 0) {
        const end = lastTime(tail) + 1;
        const chunks = row ? this.#chunks(station, row.id, firstTime(tail), end, ALL_CHANNELS) : EMPTY_BLOCK;
        const merged = mergeBlocks(chunks, tail, repeats);
        latecomers.judge(merged, repeats);
        newFrames = merged.rows - chunks.rows;
      }
      return {
        station,
        frames: (row?.frames ?? 0) + newFrames,
        readings: (row?.readings ?? 0) + received - (totalRepeats(repeats) - before),
        duplicates: byChannel(repeats.duplicates),
        conflicts: byChannel(repeats.conflicts),
      };
    });
  }

  provenance(station: string): Provenance[] {
    return this.#sql.read(() => provenanceOf(this.#sql, station, this.#snapshot(station, 0, 0).sections));
  }

  /** @throws {AppError} READINGS_DAMAGED where some of the span are, and they are not to be left out */
  #snapshot(station: string, from: number, to: number): Snapshot {
    this.#tail.refresh(this.#sql);
    this.#texts.refresh(this.#sql);
    this.#damage.refuse(this.#tail.damaged(), 'readings', station, from, to);
    const row = this.#stationRow(station);
    return { row, station, sections: this.#tail.sections(station, row?.chunkedTo ?? 0) };
  }

  #stationRow(station: string): StationRow | null {
    const row = this.#sql.get<StationRow>(
      `SELECT id, chunked_to AS chunkedTo, first_ms AS firstTime, last_ms AS lastTime, frames, readings
       FROM station WHERE name = ?`,
      station,
    );
    return row ?? null;
  }

  #block({ row, station, sections }: Snapshot, from: number, to: number, wanted: number): Block {
    const tail = this.#gather(overlapping(sections, from, to), from, to, null);
    const chunks = row ? this.#chunks(station, row.id, from, to, wanted) : EMPTY_BLOCK;
    return mergeBlocks(chunks, tail, noRepeats());
  }

  #gather(sections: readonly Section[], from: number, to: number, latecomers: Latecomers | null): Block {
    return gather(sections, from, to, (text) => this.#texts.number(text), latecomers);
  }

  #chunks(station: string, id: number, from: number, to: number, wanted: number): Block {
    const block = this.#damage.unpack(station, chunkRows(this.#sql, id, from, to), wanted);
    const start = rowAt(block.times, block.rows, from);
    const part = sliceBlock(block, start, Math.max(start, rowAt(block.times, block.rows, to)));
    this.#texts.translate(part);
    return part;
  }

  #storedRepeats(row: StationRow | null): Repeats {
    const repeats = noRepeats();
    for (const { channel, duplicates, conflicts } of this.#sql.all<{
      channel: number;
      duplicates: number;
      conflicts: number;
    }>('SELECT channel, duplicates, conflicts FROM repeats WHERE station = ?', row?.id ?? -1)) {
      repeats.duplicates[channel] = duplicates;
      repeats.conflicts[channel] = conflicts;
    }
    return repeats;
  }
}

function overlapping(sections: readonly Section[], from: number, to: number): Section[] {
  return sections.filter((section) => section.maxTime >= from && section.minTime < to);
}

function byChannel(counts: Float64Array): Partial<Record<Channel, number>> {
  const result: Partial<Record<Channel, number>> = {};
  for (const [channel, { name }] of CHANNELS.entries())
    if (counts[channel] !== 0) result[name] = counts[channel] as number;
  return result;
}
