import { CHANNELS, channelIndex } from '../contract/channels.ts';
import { isSummedBatch, type Section, sectionsAsTheyAre, WIDE } from './batch.ts';
import type { CheckNotes } from './check-notes.ts';
import { damagedSpans, damageWords } from './damage.ts';
import type { Sql } from './sql.ts';

const POWDER = channelIndex('powder/id');

/**
 * Reads every batch of the tail to its last reading, and compares it with its checksum.
 *
 * @param notes told of each batch that is not as it was written, and of each pack of it that contradicts itself
 * @returns how many batches there are
 */
export function checkTail(sql: Sql, notes: CheckNotes): number {
  let batches = 0;
  for (const { seq } of sql.all<{ seq: number }>('SELECT seq FROM batch ORDER BY seq')) {
    const batch = sql.get<{ body: Uint8Array }>('SELECT body FROM batch WHERE seq = ?', seq);
    if (batch) checkBatch(seq, batch.body, notes);
    batches++;
  }
  return batches;
}

function checkBatch(seq: number, body: Uint8Array, notes: CheckNotes): void {
  if (!isSummedBatch(body)) notes.withoutChecksum();
  for (const span of damagedSpans(`batch ${seq}`, seq, body)) notes.fault(damageWords(span));
  let sections: Section[] = [];
  try {
    sections = sectionsAsTheyAre(seq, body);
  } catch {
    // Told of above.
  }
  for (const [index, section] of sections.entries()) {
    const contradiction = sectionFault(section);
    if (contradiction !== null) notes.fault(`pack ${index + 1} of batch ${seq}: ${contradiction}`);
  }
}

/** How a pack contradicts what its head says of it; null where it does not. */
function sectionFault(section: Section): string | null {
  if (section.station === '') return 'names no station';
  const { view, end, texts } = section;
  let readings = 0;
  let [oldest, newest, bits] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
  let at = section.start;
  while (at < end) {
    if (at + 10 > end) return 'ends within an instant';
    const time = view.getFloat64(at, true);
    const count = view.getUint16(at + 8, true);
    at += 10;
    oldest = Math.min(oldest, time);
    newest = Math.max(newest, time);
    readings += count;
    for (let left = count; left > 0; left--) {
      const byte = at < end ? view.getUint8(at) : 0;
      const channel = byte & ~WIDE;
      const size = byte & WIDE ? 9 : 5;
      if (at + size > end) return 'ends within a reading';
      if (channel >= CHANNELS.length) return `has a reading of channel ${channel}, which there is not`;
      const value = byte & WIDE ? view.getFloat64(at + 1, true) : view.getInt32(at + 1, true);
      if (channel === POWDER ? !(value in texts) : !Number.isFinite(value)) return 'has a value that cannot be';
      bits |= 1 << channel;
      at += size;
    }
  }
  if (readings !== section.readings) return `has ${readings} readings, expected ${section.readings}`;
  if (oldest !== section.minTime || newest !== section.maxTime) return 'has other times than its head says';
  return bits === section.channels ? null : 'has other channels than its head says';
}
