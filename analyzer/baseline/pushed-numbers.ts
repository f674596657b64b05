/** Kinds of arrays that numbers are pushed into. */
export type Pushed = Float64Array | Int32Array | Uint8Array;

/** Numbers that there is room for at first. Source: own choice, some weeks of a hall. */
const FIRST = 1024;

/** A list of numbers that grows, and is then kept in memory that threads share: it takes no more than its numbers do. */
export class PushedNumbers<Kind extends Pushed> {
  #numbers: Kind;
  #length = 0;
  readonly #make: (length: number, shared: boolean) => Kind;

  /** @param make an array of so many numbers, in memory of its own or shared */
  constructor(make: (length: number, shared: boolean) => Kind) {
    this.#make = make;
    this.#numbers = make(FIRST, false);
  }

  get length(): number {
    return this.#length;
  }

  push(value: number): void {
    if (this.#length === this.#numbers.length) {
      const longer = this.#make(2 * this.#length, false);
      longer.set(this.#numbers);
      this.#numbers = longer;
    }
    this.#numbers[this.#length++] = value;
  }

  /** All of them, in shared memory. */
  shared(): Kind {
    const all = this.#make(this.#length, true);
    all.set(this.#numbers.subarray(0, this.#length));
    return all;
  }
}

const memory = (bytes: number, shared: boolean): ArrayBuffer | SharedArrayBuffer =>
  shared ? new SharedArrayBuffer(bytes) : new ArrayBuffer(bytes);

export const pushedFloats = (): PushedNumbers<Float64Array> =>
  new PushedNumbers((length, shared) => new Float64Array(memory(8 * length, shared)));
/** Whole numbers of four bytes. */
export const pushedPlaces = (): PushedNumbers<Int32Array> =>
  new PushedNumbers((length, shared) => new Int32Array(memory(4 * length, shared)));
/** Whole numbers of one byte, not below nought. */
export const pushedFlags = (): PushedNumbers<Uint8Array> =>
  new PushedNumbers((length, shared) => new Uint8Array(memory(length, shared)));
