/** Arrays of numbers that a state may hold. */
type Numbers = Float64Array | Float32Array | Int32Array | Uint32Array | Uint8Array;

/**
 * Copies a state over and over into the same number arrays. Structured cloning would take new memory for each of them,
 * some thousand pieces outside of V8's heap for every look, of which dozens of megabytes gather before they are collected.
 *
 * Like structured cloning it keeps what is referred to twice one thing. States are plain data: primitives, lists, records,
 * maps, sets and number arrays.
 */
export class StateCopies {
  /** Arrays of the latest copy, by kind and length. */
  #lent = new Map<string, Numbers[]>();
  #free = new Map<string, Numbers[]>();

  /**
   * A copy that shares nothing with the state. The copy made before must not be used any more: its arrays are in this one.
   *
   * @throws {TypeError} it holds something else than plain data
   */
  copy<State>(state: State): State {
    this.#free = this.#lent;
    this.#lent = new Map();
    const copied = this.#value(state, new Map()) as State;
    // What this copy did not need is let go of.
    this.#free = new Map();
    return copied;
  }

  #value(value: unknown, seen: Map<object, object>): unknown {
    if (typeof value !== 'object' || value === null) {
      if (typeof value === 'function' || typeof value === 'symbol')
        throw new TypeError(`a state holds a ${typeof value}`);
      return value;
    }
    const known = seen.get(value);
    if (known !== undefined) return known;
    if (ArrayBuffer.isView(value)) return this.#numbers(value as Numbers, seen);
    if (Array.isArray(value)) {
      const copy: unknown[] = [];
      seen.set(value, copy);
      for (const one of value) copy.push(this.#value(one, seen));
      return copy;
    }
    if (value instanceof Map) {
      const copy = new Map<unknown, unknown>();
      seen.set(value, copy);
      for (const [key, one] of value) copy.set(this.#value(key, seen), this.#value(one, seen));
      return copy;
    }
    if (value instanceof Set) {
      const copy = new Set<unknown>();
      seen.set(value, copy);
      for (const one of value) copy.add(this.#value(one, seen));
      return copy;
    }
    return this.#record(value as Record<string, unknown>, seen);
  }

  #record(record: Record<string, unknown>, seen: Map<object, object>): object {
    const prototype: unknown = Object.getPrototypeOf(record);
    if (prototype !== Object.prototype && prototype !== null)
      throw new TypeError(`a state holds a ${record.constructor.name}, expected plain data`);
    // At once, so that it keeps its shape: fields added one by one would make a hash table of it, slow to read.
    const copy = { ...record };
    seen.set(record, copy);
    for (const key in copy) {
      const value = copy[key];
      if (typeof value === 'object' || typeof value === 'function') copy[key] = this.#value(value, seen);
    }
    return copy;
  }

  #numbers(numbers: Numbers, seen: Map<object, object>): Numbers {
    const kind = `${numbers.constructor.name} ${numbers.length}`;
    const spare = this.#free.get(kind)?.pop();
    const copy = spare ?? numbers.slice();
    if (spare !== undefined) spare.set(numbers);
    seen.set(numbers, copy);
    const lent = this.#lent.get(kind);
    if (lent === undefined) this.#lent.set(kind, [copy]);
    else lent.push(copy);
    return copy;
  }
}
