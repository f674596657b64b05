import type { Frames } from '../../collector/contract/frames.ts';
import type { Random } from '../random.ts';

/** A span in which a node is silent, or its clock is wrong by `offsetMs`. */
export interface NodeSpan {
  readonly start: number;
  readonly end: number;
  readonly offsetMs: number;
  readonly silent: boolean;
}

/** How reports travel: shares lost, sent twice and delayed. */
export interface TransportHabits {
  readonly lost: number;
  readonly twice: number;
  readonly late: number;
}

/** Reports of a station as they leave its node: rows of the frames, in sending order, with the node's own stamps. */
export interface Sent {
  readonly frames: Frames;
  readonly rows: Int32Array;
  readonly stamps: Float64Array;
  /** 1 where the report comes late: after a network loss, out of order. */
  readonly late: Uint8Array;
}

/** Length of a stretch of late reports, s. Source: own choice, because network losses last minutes. */
const LATE_S = 180;

/**
 * Sends a day of a station's readings: some are lost, some go twice, some stretches come late, and the node's clock may be wrong.
 *
 * @param spans silences and clock errors of this station
 */
export function send(frames: Frames, spans: readonly NodeSpan[], habits: TransportHabits, random: Random): Sent {
  const count = frames.times.length;
  const rows = new Int32Array(count * 2);
  const stamps = new Float64Array(count * 2);
  const late = new Uint8Array(count * 2);
  let sent = 0;
  let lateUntil = Number.NEGATIVE_INFINITY;
  for (let row = 0; row < count; row++) {
    const time = frames.times[row]!;
    let offset = 0;
    let silent = false;
    for (const span of spans) {
      if (time < span.start || time >= span.end) continue;
      if (span.silent) silent = true;
      else offset += span.offsetMs;
    }
    if (silent || (habits.lost > 0 && random.chance(habits.lost))) continue;
    if (time >= lateUntil && habits.late > 0) {
      // Late reports come in stretches; the chance of a stretch to begin keeps their share.
      const step = row > 0 ? Math.min(60_000, time - frames.times[row - 1]!) : 0;
      if (random.chance((habits.late * step) / (LATE_S * 1000))) lateUntil = time + random.exponential(LATE_S) * 1000;
    }
    const times = habits.twice > 0 && random.chance(habits.twice) ? 2 : 1;
    for (let copy = 0; copy < times; copy++) {
      rows[sent] = row;
      stamps[sent] = time + offset;
      late[sent] = time < lateUntil ? 1 : 0;
      sent++;
    }
  }
  return { frames, rows: rows.subarray(0, sent), stamps: stamps.subarray(0, sent), late: late.subarray(0, sent) };
}
