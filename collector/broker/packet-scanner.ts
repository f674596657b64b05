import { LONG_BYTES } from './delivery.ts';

/** Smallest room set aside for a packet that arrives in pieces. Source: own choice, because one TCP read is up to 64 KiB. */
const FIRST_ROOM_BYTES = 65_536;

/** Memory for a packet. Of a long one other threads may read it as it is: copying it would hold everybody else up. */
function roomFor(bytes: number): Buffer {
  return bytes >= LONG_BYTES ? Buffer.from(new SharedArrayBuffer(bytes)) : Buffer.allocUnsafeSlow(bytes);
}

/**
 * Cuts a byte stream into MQTT control packets by their fixed header (MQTT 3.1.1 section 2.2), without looking inside.
 *
 * Push a chunk, then call `next()` until it says false; after each true, `buffer` from `start` (fixed header)
 * over `body` (variable header) to `end` (exclusive) is one whole packet. The bytes are not copied unless a packet came
 * in pieces, so they are valid for as long as the chunk is. After a fault nothing more comes.
 */
export class PacketScanner {
  buffer: Buffer = Buffer.alloc(0);
  start = 0;
  body = 0;
  end = 0;
  /** Why the byte stream cannot be MQTT that we take. */
  fault: string | null = null;
  readonly #maxPacketBytes: number;
  /** The beginning of a packet that is not whole yet, in a buffer with room to grow. */
  #partial: Buffer | null = null;
  #partialBytes = 0;
  /** Length of the packet in `#partial`, 0 while its header is not whole. */
  #wanted = 0;

  /** @param maxPacketBytes longest packet taken, fixed header included */
  constructor(maxPacketBytes: number) {
    this.#maxPacketBytes = maxPacketBytes;
  }

  /** Bytes that are kept: room for a packet that is not whole, or what has come and was not taken. */
  get keptBytes(): number {
    return this.#partial?.length ?? this.buffer.length - this.end;
  }

  /** True while a packet comes that is longer than what a network brings at once. */
  get isLong(): boolean {
    return this.#partial !== null && this.#wanted > FIRST_ROOM_BYTES;
  }

  /** True while bytes of a packet that is not whole are being kept. */
  get waiting(): boolean {
    return this.#partial !== null;
  }

  /** Takes the next bytes. What `next()` had not handed out yet stays in front of them. */
  push(chunk: Buffer): void {
    if (this.#partial === null) {
      const left = this.buffer.length - this.end;
      this.buffer = left > 0 ? Buffer.concat([this.buffer.subarray(this.end), chunk]) : chunk;
      this.end = 0;
      return;
    }
    this.#append(chunk);
    if (this.#partialBytes < this.#wanted) return;
    this.buffer = this.#partial.subarray(0, this.#partialBytes);
    this.end = 0;
    this.#partial = null;
  }

  /** Moves to the next whole packet; false when there is none yet, or never again because of `fault`. */
  next(): boolean {
    if (this.fault !== null || this.#partial !== null) return false;
    const buffer = this.buffer;
    const start = this.end;
    const available = buffer.length - start;
    if (available < 2) return this.#keep(start, 0);
    let length = 0;
    let at = start + 1;
    for (let weight = 1; ; weight *= 128) {
      if (weight > 128 ** 3) {
        this.fault = 'the remaining length is longer than four bytes';
        return false;
      }
      if (at >= buffer.length) return this.#keep(start, 0);
      const byte = buffer[at++]!;
      length += (byte & 0x7f) * weight;
      if (byte < 0x80) break;
    }
    const end = at + length;
    if (end - start > this.#maxPacketBytes) {
      this.fault = `a packet of ${end - start} bytes is longer than the ${this.#maxPacketBytes} that are taken`;
      return false;
    }
    if (end > buffer.length) return this.#keep(start, end - start);
    this.start = start;
    this.body = at;
    this.end = end;
    return true;
  }

  /** Hands the current packet out once more at the next `next()`. */
  unread(): void {
    this.end = this.start;
  }

  #keep(start: number, wanted: number): false {
    const left = this.buffer.subarray(start);
    this.buffer = Buffer.alloc(0);
    this.end = 0;
    if (left.length === 0) return false;
    this.#partial = roomFor(Math.max(left.length, wanted === 0 ? 16 : Math.min(wanted, FIRST_ROOM_BYTES)));
    this.#partialBytes = left.length;
    this.#wanted = wanted;
    left.copy(this.#partial);
    return false;
  }

  #append(chunk: Buffer): void {
    const total = this.#partialBytes + chunk.length;
    let partial = this.#partial!;
    if (total > partial.length) {
      // Never more than twice what has come: room for what was merely announced could be had for nothing.
      const grown = roomFor(Math.max(total, Math.min(this.#wanted, 2 * partial.length)));
      partial.copy(grown, 0, 0, this.#partialBytes);
      partial = grown;
      this.#partial = grown;
    }
    chunk.copy(partial, this.#partialBytes);
    this.#partialBytes = total;
  }
}
