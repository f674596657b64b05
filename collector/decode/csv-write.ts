import {
  CHANNEL_NAMES,
  CHANNEL_STEPS,
  CHANNELS,
  type Channel,
  channelIndex,
  type Frames,
  formatTime,
} from '../contract/index.ts';

/** Characters gathered before they are handed on. */
const PIECE = 65_536;

const NEEDS_QUOTES = /[",\r\n]|^\s|\s$/;
const quote = (text: string): string => (NEEDS_QUOTES.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/**
 * Readings as the CSV that `analyze` reads, piece by piece: times as `YYYY-MM-DDTHH:MM:SS.sssZ`, canonical units,
 * empty cells where nothing was read. Rows without any of the channels are left out.
 *
 * @param blocks frames in the order in which they are to be written
 * @param channels columns; give those that can occur, or leave it out for all
 */
export function* writeReadings(
  blocks: Iterable<Frames>,
  channels: readonly Channel[] = CHANNEL_NAMES,
): Generator<string> {
  let text = `time,gun,${channels.join(',')}\n`;
  const kinds = channels.map((name) => CHANNELS[channelIndex(name)]?.kind);
  const steps = channels.map((name) => CHANNEL_STEPS[channelIndex(name)] as number);
  for (const { station, times, columns: byName, strings } of blocks) {
    const columns = channels.map((name) => byName[name]);
    const gun = `,${quote(station)}`;
    const names = strings.map(quote);
    for (let row = 0; row < times.length; row++) {
      let cells = '';
      let filled = false;
      for (let index = 0; index < columns.length; index++) {
        const value = columns[index]?.[row] ?? Number.NaN;
        cells += ',';
        if (Number.isNaN(value)) continue;
        filled = true;
        const perUnit = steps[index] as number;
        // Adding 0 turns -0 into 0.
        cells += kinds[index] === 'string' ? names[value] : String(Math.round(value * perUnit) / perUnit + 0);
      }
      if (!filled) continue;
      text += `${formatTime(times[row] as number)}${gun}${cells}\n`;
      if (text.length > PIECE) {
        yield text;
        text = '';
      }
    }
  }
  yield text;
}
