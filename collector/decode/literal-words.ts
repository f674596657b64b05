const WORD_BYTES = 8;

/** The memory that payloads lie in: all that came in one read of a socket share it, and a view of each would cost as much as what is read by it. */
export class PayloadMemory {
  #memory: ArrayBufferLike | null = null;
  #view: DataView = new DataView(new ArrayBuffer(0));

  /** A view of all of the memory that these bytes are some of. */
  viewOf(bytes: Buffer): DataView {
    const { buffer } = bytes;
    if (buffer !== this.#memory) {
      this.#memory = buffer;
      this.#view = new DataView(buffer);
    }
    return this.#view;
  }
}

/**
 * Pieces of a sample that other bytes are compared with, eight at a time. They are compared as doubles, which are equal where their
 * bits are, but for those that are no number, and the two zeros: text in ASCII makes none of these.
 */
export class LiteralWords {
  readonly #sample: Buffer;
  /** Of each piece, in turn: its start and end in the sample, and the place of its first word. */
  readonly #pieces: Int32Array;
  readonly #words: Float64Array;

  private constructor(sample: Buffer, pieces: Int32Array, words: Float64Array) {
    this.#sample = sample;
    this.#pieces = pieces;
    this.#words = words;
  }

  /**
   * @param bounds start and end of each piece in the sample, in turn
   * @returns null where a piece has bytes beyond ASCII, or zeros
   */
  static of(sample: Buffer, bounds: readonly number[]): LiteralWords | null {
    const view = new DataView(sample.buffer, sample.byteOffset, sample.length);
    const pieces = new Int32Array((3 * bounds.length) / 2);
    const words: number[] = [];
    for (let bound = 0, piece = 0; bound < bounds.length; bound += 2, piece += 3) {
      const [start, end] = [bounds[bound]!, bounds[bound + 1]!];
      for (let at = start; at < end; at++) if (sample[at] === 0 || sample[at]! > 127) return null;
      pieces.set([start, end, words.length], piece);
      if (end - start < WORD_BYTES) continue;
      for (let at = start; at < end - WORD_BYTES; at += WORD_BYTES) words.push(view.getFloat64(at, true));
      // The last one goes over some bytes of the one before again.
      words.push(view.getFloat64(end - WORD_BYTES, true));
    }
    return new LiteralWords(sample, pieces, Float64Array.from(words));
  }

  lengthOf(piece: number): number {
    return this.#pieces[3 * piece + 1]! - this.#pieces[3 * piece]!;
  }

  /** Whether the bytes from `at` on are those of the piece. @throws {RangeError} where there are not so many */
  isAt(piece: number, view: DataView, at: number): boolean {
    const start = this.#pieces[3 * piece]!;
    const end = this.#pieces[3 * piece + 1]!;
    if (end - start < WORD_BYTES) {
      for (let byte = start; byte < end; byte++)
        if (view.getUint8(at + byte - start) !== this.#sample[byte]) return false;
      return true;
    }
    const words = this.#words;
    let word = this.#pieces[3 * piece + 2]!;
    const last = at + end - start - WORD_BYTES;
    for (let place = at; place < last; place += WORD_BYTES)
      if (view.getFloat64(place, true) !== words[word++]) return false;
    return view.getFloat64(last, true) === words[word];
  }
}
