import { daysInMonth, LATEST_MS } from '../contract/index.ts';

const COMMA = 44;
const LF = 10;
const CR = 13;

/** Whether a cell ends here. */
export const isEnd = (bytes: Buffer, at: number): boolean => {
  const byte = bytes[at];
  return byte === COMMA || byte === LF || (byte === CR && bytes[at + 1] === LF);
};

/**
 * Reads the usual spellings of a time straight from the bytes of a cell: `2026-03-02T09:10:00.123+01:00`, with `Z`,
 * without fraction, or Unix seconds with at most three decimals. It gives up on everything else, which
 * `parseTime` then reads, and never reads differently from that.
 */
export class TimeBytes {
  /** Result of the last successful read, epoch ms. */
  ms = 0;
  private date = -1;
  private dateMs = 0;

  /**
   * @param at where the cell begins; the text must end with a line end
   * @returns where the cell ends, or -1 when it is not spelled in the usual ways
   */
  read(bytes: Buffer, at: number): number {
    return bytes[at + 4] === 45 ? this.readIso(bytes, at) : this.readUnix(bytes, at);
  }

  private readUnix(bytes: Buffer, at: number): number {
    let end = at;
    let seconds = 0;
    let digit = (bytes[end] as number) - 48;
    while (digit >= 0 && digit <= 9) {
      seconds = seconds * 10 + digit;
      digit = (bytes[++end] as number) - 48;
    }
    if (end === at || end - at > 12) return -1;
    let ms = seconds * 1000;
    if (bytes[end] === 46) {
      let weight = 100;
      digit = (bytes[++end] as number) - 48;
      while (digit >= 0 && digit <= 9 && weight >= 1) {
        ms += digit * weight;
        weight = weight === 1 ? 0 : weight / 10;
        digit = (bytes[++end] as number) - 48;
      }
    }
    if (!isEnd(bytes, end) || ms > LATEST_MS) return -1;
    this.ms = ms;
    return end;
  }

  private readIso(bytes: Buffer, at: number): number {
    if (bytes[at + 7] !== 45 || bytes[at + 10] !== 84 || bytes[at + 13] !== 58 || bytes[at + 16] !== 58) return -1;
    const year = two(bytes, at) * 100 + two(bytes, at + 2);
    const month = two(bytes, at + 5);
    const day = two(bytes, at + 8);
    const hour = two(bytes, at + 11);
    const minute = two(bytes, at + 14);
    const second = two(bytes, at + 17);
    // A pair that is no number is 1000 or more, so that each of these fails.
    if (year > 9999 || month > 12 || day > 31 || hour > 23 || minute > 59 || second > 59) return -1;
    const date = (year * 100 + month) * 100 + day;
    if (date !== this.date) {
      if (day < 1 || day > daysInMonth(year, month)) return -1;
      this.date = date;
      this.dateMs = Date.UTC(year, month - 1, day);
    }
    let end = at + 19;
    let ms = this.dateMs + ((hour * 60 + minute) * 60 + second) * 1000;
    if (bytes[end] === 46) {
      let weight = 100;
      let digit = (bytes[++end] as number) - 48;
      if (digit < 0 || digit > 9) return -1;
      while (digit >= 0 && digit <= 9 && weight >= 1) {
        ms += digit * weight;
        weight = weight === 1 ? 0 : weight / 10;
        digit = (bytes[++end] as number) - 48;
      }
    }
    const sign = bytes[end];
    if (sign === 90) end++;
    else if ((sign === 43 || sign === 45) && bytes[end + 3] === 58) {
      const hours = two(bytes, end + 1);
      const minutes = two(bytes, end + 4);
      if (hours > 23 || minutes > 59) return -1;
      ms += (sign === 43 ? -60_000 : 60_000) * (hours * 60 + minutes);
      end += 6;
    } else return -1;
    if (!isEnd(bytes, end) || ms > LATEST_MS) return -1;
    this.ms = ms;
    return end;
  }
}

/** Two decimal digits; 1000 or more when they are none. */
function two(bytes: Buffer, at: number): number {
  const tens = (bytes[at] as number) - 48;
  const ones = (bytes[at + 1] as number) - 48;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : 1_000_000;
}
