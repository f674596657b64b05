/** Longest powder id. Source: the plant file's own limit on powder ids. */
const LONGEST_NAME = 80;
/** Source: own choice, because no shop has so many powders and junk cannot fill the memory. */
const MOST_NAMES = 10_000;
/** Names that are found by their bytes. Source: own choice: rows of guns with other powders come in turn, and a shop has some tens. */
const SLOTS = 256;
const NONE = Buffer.alloc(0);
const CONTROL = /\p{Cc}|\p{Cs}|\ufffd/u;

/** Powder ids that were read, each kept once; readings carry its index. */
export class NamePool {
  readonly names: string[] = [];
  private readonly places = new Map<string, number>();
  /** By hash, the bytes found last and their place. */
  private readonly found: Buffer[] = new Array<Buffer>(SLOTS).fill(NONE);
  private readonly foundPlaces = new Int32Array(SLOTS);

  /**
   * @param hash `hashByte` over the bytes in [from, to), of which there is one at least
   * @returns index of the name that stands there, or -1 when it is too long, holds control characters, or is one too many
   */
  find(bytes: Buffer, from: number, to: number, hash: number): number {
    const slot = (hash ^ (hash >>> 16)) & (SLOTS - 1);
    if (isSame(this.found[slot] as Buffer, bytes, from, to)) return this.foundPlaces[slot] as number;
    if (to - from > LONGEST_NAME * 4) return -1;
    const place = this.add(bytes.toString('utf8', from, to));
    // Names never go away, so that one too many stays so.
    this.found[slot] = Buffer.from(bytes.subarray(from, to));
    this.foundPlaces[slot] = place;
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
}

function isSame(name: Buffer, bytes: Buffer, from: number, to: number): boolean {
  if (name.length !== to - from) return false;
  for (let index = 0; index < name.length; index++) if (name[index] !== bytes[from + index]) return false;
  return true;
}
