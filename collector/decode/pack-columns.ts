import type { Pack } from '../contract/index.ts';

/** Distinct powders in one pack. Source: own choice, because a gun sprays one at a time. */
const MOST_STRINGS = 256;

/** Readings of a pack while it is filled. */
export class PackColumns {
  readonly times: number[] = [];
  readonly channels: number[] = [];
  readonly values: number[] = [];
  readonly strings: string[] = [];

  add(time: number, channel: number, value: number): void {
    this.times.push(time);
    this.channels.push(channel);
    this.values.push(value);
  }

  /** Adds a named value. @returns false when the pack holds too many names already */
  addName(time: number, channel: number, name: string): boolean {
    let place = this.strings.indexOf(name);
    if (place < 0) {
      if (this.strings.length >= MOST_STRINGS) return false;
      place = this.strings.push(name) - 1;
    }
    this.add(time, channel, place);
    return true;
  }

  toPack(station: string, provenance: string): Pack {
    const { times, channels, values, strings } = this;
    return { station, times, channels, values, strings, provenance };
  }
}
