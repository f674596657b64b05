/** Memory to begin with, bytes. Source: own choice: the runs of a gun since the last look are shorter. */
const FIRST_BYTES = 2048;

/** Appends numbers to a growing run of bytes; little-endian. */
export class ByteWriter {
  #bytes = new Uint8Array(FIRST_BYTES);
  #view = new DataView(this.#bytes.buffer);
  #length = 0;

  get length(): number {
    return this.#length;
  }

  u8(value: number): void {
    const at = this.#take(1);
    this.#view.setUint8(at, value);
  }

  u16(value: number): void {
    const at = this.#take(2);
    this.#view.setUint16(at, value, true);
  }

  u32(value: number): void {
    const at = this.#take(4);
    this.#view.setUint32(at, value, true);
  }

  f64(value: number): void {
    const at = this.#take(8);
    this.#view.setFloat64(at, value, true);
  }

  /** Whole number from 0 to 2^53 - 1, seven bits a byte, lowest first. */
  varint(value: number): void {
    let rest = value;
    while (rest >= 0x80) {
      this.u8((rest % 0x80) | 0x80);
      rest = Math.floor(rest / 0x80);
    }
    this.u8(rest);
  }

  bytes(bytes: Uint8Array): void {
    const at = this.#take(bytes.length);
    this.#bytes.set(bytes, at);
  }

  /** Of `count` numbers of `size` bytes the lowest `width` bytes: plane by plane. */
  planes(bytes: Uint8Array, size: number, width: number, count: number): void {
    let at = this.#take(width * count);
    for (let plane = 0; plane < width; plane++)
      for (let from = plane; from < size * count; from += size) this.#bytes[at++] = bytes[from] as number;
  }

  /** Overwrites four bytes written before. */
  setU32(at: number, value: number): void {
    this.#view.setUint32(at, value, true);
  }

  /** What was written, as a view that the next `clear` invalidates. */
  written(): Uint8Array {
    return this.#bytes.subarray(0, this.#length);
  }

  clear(): void {
    this.#length = 0;
  }

  /** Makes room, which may move everything: call it before `#bytes` or `#view` are named. */
  #take(more: number): number {
    const at = this.#length;
    this.#length += more;
    if (this.#length > this.#bytes.length) {
      const grown = new Uint8Array(Math.max(2 * this.#bytes.length, this.#length));
      grown.set(this.#bytes.subarray(0, at));
      this.#bytes = grown;
      this.#view = new DataView(grown.buffer);
    }
    return at;
  }
}

/** Reads what a ByteWriter wrote; RangeError when the bytes end too early. */
export class ByteReader {
  readonly #bytes: Uint8Array;
  readonly #view: DataView;
  #at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  get done(): boolean {
    return this.#at >= this.#bytes.length;
  }

  u8(): number {
    return this.#view.getUint8(this.#take(1));
  }

  u16(): number {
    return this.#view.getUint16(this.#take(2), true);
  }

  u32(): number {
    return this.#view.getUint32(this.#take(4), true);
  }

  f64(): number {
    return this.#view.getFloat64(this.#take(8), true);
  }

  varint(): number {
    // Mostly one byte: read past the view, which costs more than the number.
    const first = this.#bytes[this.#at];
    if (first !== undefined && first < 0x80) {
      this.#at++;
      return first;
    }
    let value = 0;
    let weight = 1;
    for (;;) {
      const byte = this.#bytes[this.#take(1)] as number;
      value += (byte & 0x7f) * weight;
      if (byte < 0x80) return value;
      weight *= 0x80;
    }
  }

  bytes(count: number): Uint8Array {
    const at = this.#take(count);
    return this.#bytes.subarray(at, at + count);
  }

  /** Numbers of 4 or 8 bytes (lowest first, as this machine has them) that were written by planes, put together again: as many as `into` has room for. */
  planes(into: Float32Array | Float64Array): void {
    const count = into.length;
    const stride = into.BYTES_PER_ELEMENT / 4;
    let first = this.#take(into.byteLength);
    const from = this.#bytes;
    // Four planes at a time: one word written where else there are four bytes.
    const words = new Int32Array(into.buffer, into.byteOffset, stride * count);
    for (let word = 0; word < stride; word++, first += 3 * count)
      for (let to = word; to < words.length; to += stride, first++)
        words[to] =
          from[first]! |
          (from[first + count]! << 8) |
          (from[first + 2 * count]! << 16) |
          (from[first + 3 * count]! << 24);
  }

  skip(count: number): void {
    this.#take(count);
  }

  #take(count: number): number {
    const at = this.#at;
    this.#at += count;
    if (this.#at > this.#bytes.length) throw new RangeError(`${count} bytes wanted at ${at} of ${this.#bytes.length}`);
    return at;
  }
}
