import type { StationFact } from '../site.ts';
import { FLOW, PRESSURE } from './pull-channels.ts';
import { PARTNER, PRESSED_BAR, type Streaks, WATCHED } from './streaks.ts';

/** Rows of a block as streaks take them in. */
export interface WatchedRows {
  readonly times: Float64Array;
  /** By place in WATCHED; null where the block has none. */
  readonly columns: readonly (Float64Array | null)[];
  /** Of each row: 1 while spraying, else 0, and how often that had switched before it. */
  readonly spraying: Uint8Array;
  readonly switches: Float64Array;
}

/** By row, the channels that changed in it, as bits of their places. */
let changed = new Uint16Array(256);
/** Changes by channel in rows after the one at hand. */
const later = new Float64Array(WATCHED.length);

/**
 * Takes rows [from, to) of a block into the streaks, channel by channel: a reading that differs from the channel's last one ends its
 * streak, and with it an open stuck fact.
 *
 * @returns how many readings they hold
 */
export function watchRows(streaks: Streaks, rows: WatchedRows, from: number, to: number, facts: StationFact[]): number {
  if (from === to) return 0;
  if (changed.length < to - from) changed = new Uint16Array(2 * (to - from));
  changed.fill(0, 0, to - from);
  let readings = 0;
  let ended = 0;
  for (let channel = 0; channel < WATCHED.length; channel++) {
    const column = rows.columns[channel]!;
    if (column === null) continue;
    const before = streaks.changes[channel]!;
    readings += watchChannel(streaks, channel, column, rows, from, to, facts);
    if (streaks.changes[channel]! > before) ended |= 1 << channel;
  }
  if (ended !== 0) beginStreaks(streaks, rows, from, to, ended);
  return readings;
}

/** @returns readings of the channel */
function watchChannel(
  streaks: Streaks,
  channel: number,
  column: Float64Array,
  { times, spraying }: WatchedRows,
  from: number,
  to: number,
  facts: StationFact[],
): number {
  const bit = 1 << channel;
  const marks = changed;
  let last = streaks.last[channel]!;
  let stuck = streaks.fact[channel]! >= 0;
  // Counts as whole numbers of 32 bits: the loop then reckons with nothing else.
  let longest = streaks.longest[channel]! | 0;
  let whileSpraying = streaks.spraying[channel]! | 0;
  let length = (streaks.idle[channel]! | 0) + whileSpraying;
  let [absent, ends, pressed] = [0, 0, 0];
  for (let row = from; row < to; row++) {
    const value = column[row]!;
    if (value === last) {
      length++;
      whileSpraying += spraying[row]!;
    } else if (Number.isNaN(value)) absent++;
    else {
      if (stuck) endFact(streaks, channel, times[row]!, facts);
      else if (length > longest) longest = length;
      stuck = false;
      last = value;
      length = 1;
      whileSpraying = spraying[row]!;
      ends++;
      marks[row - from]! |= bit;
      if (value > PRESSED_BAR) pressed++;
    }
  }
  const read = to - from - absent;
  streaks.last[channel] = last;
  streaks.longest[channel] = longest;
  streaks.spraying[channel] = whileSpraying;
  streaks.idle[channel] = length - whileSpraying;
  streaks.readings[channel]! += read;
  streaks.changes[channel]! += ends;
  streaks.allChanges += ends;
  if (channel === PRESSURE) streaks.pressed += pressed;
  return read;
}

function endFact(streaks: Streaks, channel: number, time: number, facts: StationFact[]): void {
  const place = streaks.fact[channel]!;
  facts[place] = { ...(facts[place] as StationFact & { kind: 'stuck' }), until: time };
  streaks.fact[channel] = -1;
}

/**
 * Notes of each channel what there was at its last change: back from the end of the rows, because the changes behind it are few.
 *
 * @param ended the channels, as bits
 */
function beginStreaks(streaks: Streaks, rows: WatchedRows, from: number, to: number, ended: number): void {
  const pressures = rows.columns[PRESSURE] ?? null;
  let [all, pressed] = [streaks.allChanges, streaks.pressed];
  later.fill(0);
  let wanted = ended;
  for (let row = to - 1; wanted !== 0; row--) {
    // Of one row the last place first, as they came.
    for (let bits = changed[row - from]!; bits !== 0; ) {
      const channel = 31 - Math.clz32(bits);
      const bit = 1 << channel;
      bits ^= bit;
      if ((wanted & bit) !== 0) {
        wanted ^= bit;
        const partner = PARTNER[channel] ?? -1;
        streaks.since[channel] = rows.times[row]!;
        streaks.switchesAt[channel] = rows.switches[row]!;
        streaks.changesAt[channel] = all;
        streaks.partnerAt[channel] = partner >= 0 ? streaks.changes[partner]! - later[partner]! : 0;
        if (channel === FLOW) streaks.pressedAt = pressed;
      }
      all--;
      later[channel]! += 1;
      if (channel === PRESSURE && pressures![row]! > PRESSED_BAR) pressed--;
    }
  }
}
