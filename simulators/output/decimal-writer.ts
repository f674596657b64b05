import { Buffer } from 'node:buffer';

/** Writes short decimal numbers and text into a growing byte buffer, without strings in between. */
export class DecimalWriter {
  #bytes = Buffer.allocUnsafe(1 << 20);
  #length = 0;

  get length(): number {
    return this.#length;
  }

  #room(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const wide = Buffer.allocUnsafe(Math.max(this.#bytes.length * 2, this.#length + more));
    this.#bytes.copy(wide, 0, 0, this.#length);
    this.#bytes = wide;
  }

  byte(code: number): void {
    this.#room(1);
    this.#bytes[this.#length++] = code;
  }

  text(text: string): void {
    this.#room(text.length * 3);
    this.#length += this.#bytes.write(text, this.#length, 'utf8');
  }

  bytes(bytes: Uint8Array): void {
    this.#room(bytes.length);
    this.#bytes.set(bytes, this.#length);
    this.#length += bytes.length;
  }

  /** A whole number, at least so many digits. */
  whole(value: number, leastDigits: number): void {
    this.#room(20);
    const bytes = this.#bytes;
    let digits = leastDigits;
    for (let limit = 10 ** leastDigits; value >= limit; limit *= 10) digits++;
    let rest = value;
    for (let place = this.#length + digits - 1; place >= this.#length; place--) {
      const next = Math.floor(rest / 10);
      bytes[place] = 48 + (rest - next * 10);
      rest = next;
    }
    this.#length += digits;
  }

  /** A number with a fixed count of decimals. */
  decimal(value: number, decimals: number): void {
    const scale = 10 ** decimals;
    let scaled = Math.round(value * scale);
    if (scaled < 0) {
      this.byte(45);
      scaled = -scaled;
    }
    const before = Math.floor(scaled / scale);
    this.whole(before, 1);
    if (decimals === 0) return;
    this.byte(46);
    this.whole(scaled - before * scale, decimals);
  }

  /** What was written; the writer starts anew. The bytes are the caller's. */
  take(): Buffer {
    const taken = Buffer.from(this.#bytes.subarray(0, this.#length));
    this.#length = 0;
    return taken;
  }
}
