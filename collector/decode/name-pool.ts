/** Longest powder id. Source: the plant file's own limit on powder ids. */
const LONGEST_NAME = 80;
/** Source: own choice, because no shop has so many powders and junk cannot fill the memory. */
const MOST_NAMES = 10_000;
const CONTROL = /\p{Cc}|\p{Cs}|\ufffd/u;

/** Powder ids that were read, each kept once; readings carry its index. */
export class NamePool {
  readonly names: string[] = [];
  private readonly places = new Map<string, number>();
  private last: Buffer = Buffer.alloc(0);
  private lastPlace = -1;

  /** @returns index of the name that stands in [from, to), or -1 when it is too long, holds control characters, or is one too many */
  find(bytes: Buffer, from: number, to: number): number {
    if (this.isLast(bytes, from, to)) return this.lastPlace;
    if (to - from > LONGEST_NAME * 4) return -1;
    const place = this.add(bytes.toString('utf8', from, to));
    this.last = Buffer.from(bytes.subarray(from, to));
    this.lastPlace = place;
    return place;
  }

  /** @returns index of the name, or -1 as `find` does */
  add(name: string): number {
    const known = this.places.get(name);
    if (known !== undefined) return known;
    if (name.length > LONGEST_NAME || CONTROL.test(name) || this.names.length >= MOST_NAMES) return -1;
    this.places.set(name, this.names.length);
    this.names.push(name);
    return this.names.length - 1;
  }

  private isLast(bytes: Buffer, from: number, to: number): boolean {
    const { last } = this;
    if (last.length !== to - from) return false;
    for (let index = 0; index < last.length; index++) if (last[index] !== bytes[from + index]) return false;
    return true;
  }
}
