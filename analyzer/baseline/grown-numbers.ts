/** Room that is set aside beyond what is needed, as a share of it. Source: own choice: a dozen growths make ten times as much. */
const SPARE = 0.25;

/** Memory that was set aside here, and is of one growing array alone. */
const ROOMY = new WeakSet<ArrayBufferLike>();

/**
 * An array of `length` numbers that begins with those of `values`; what comes behind them is undefined. It takes new memory
 * only now and then: an array that grows one by one to some hundred thousand numbers would else leave a hundred times as
 * much behind, faster than it is collected. `values` must not be used any more: both may lie in the same memory.
 *
 * @param length at least as many as there are
 */
export function grownNumbers(values: Float64Array, length: number): Float64Array {
  const bytes = length * Float64Array.BYTES_PER_ELEMENT;
  if (ROOMY.has(values.buffer) && bytes <= values.buffer.byteLength) return new Float64Array(values.buffer, 0, length);
  const room = new ArrayBuffer(Math.ceil(length * (1 + SPARE)) * Float64Array.BYTES_PER_ELEMENT);
  ROOMY.add(room);
  const grown = new Float64Array(room, 0, length);
  grown.set(values);
  return grown;
}
