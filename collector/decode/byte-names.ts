/**
 * Finds the index of a known name straight from bytes, without making a string of them: a hash table with open
 * addressing over the names' bytes. Names are fixed when it is made.
 */
export class ByteNames {
  private readonly names: readonly Buffer[];
  private readonly slots: Int32Array;
  private readonly mask: number;

  constructor(names: readonly string[]) {
    this.names = names.map((name) => Buffer.from(name, 'utf8'));
    const size = 2 ** Math.ceil(Math.log2(Math.max(4, names.length * 4)));
    this.mask = size - 1;
    this.slots = new Int32Array(size).fill(-1);
    for (const [index, name] of this.names.entries()) {
      let hash = HASH_SEED;
      for (const byte of name) hash = hashByte(hash, byte);
      let slot = hash & this.mask;
      while (this.slots[slot] !== -1) slot = (slot + 1) & this.mask;
      this.slots[slot] = index;
    }
  }

  /** @returns index of the name whose bytes stand in [from, to), or -1; `hash` is `hashByte` over those bytes */
  find(bytes: Uint8Array, from: number, to: number, hash: number): number {
    let slot = hash & this.mask;
    for (;;) {
      const index = this.slots[slot] as number;
      if (index < 0) return -1;
      const name = this.names[index] as Buffer;
      if (name.length === to - from && matches(name, bytes, from)) return index;
      slot = (slot + 1) & this.mask;
    }
  }
}

/** FNV-1a, 32 bits. Source: G. Fowler, L. C. Noll, K.-P. Vo, the FNV non-cryptographic hash algorithm (RFC 9923). */
export const HASH_SEED = 0x811c9dc5 | 0;
export function hashByte(hash: number, byte: number): number {
  return Math.imul(hash ^ byte, 0x01000193);
}

function matches(name: Uint8Array, bytes: Uint8Array, from: number): boolean {
  for (let index = 0; index < name.length; index++) if (name[index] !== bytes[from + index]) return false;
  return true;
}
