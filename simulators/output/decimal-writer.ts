import { Buffer } from 'node:buffer';

const SCALES = [1, 10, 100, 1000];

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

  /** Short runs of bytes, copied one by one: faster than a call for each. */
  bytes(bytes: Uint8Array): void {
    this.#room(bytes.length);
    for (let index = 0; index < bytes.length; index++) this.#bytes[this.#length + index] = bytes[index]!;
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

  /** A number with a fixed count of decimals, at most 3. */
  decimal(value: number, decimals: number): void {
    this.#room(24);
    let rest = Math.round(value * SCALES[decimals]!);
    if (rest < 0) {
      this.#bytes[this.#length++] = 45;
      rest = -rest;
    }
    const before = Math.floor(rest / SCALES[decimals]!);
    this.whole(before, 1);
    if (decimals === 0) return;
    this.#bytes[this.#length++] = 46;
    this.whole(rest - before * SCALES[decimals]!, decimals);
  }

  /** What was written; the writer starts anew. The bytes are the caller's. */
  take(): Buffer {
    const taken = Buffer.from(this.#bytes.subarray(0, this.#length));
    this.#length = 0;
    return taken;
  }
}
