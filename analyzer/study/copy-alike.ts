/** Text of an object with these names, by the names. */
const blanks = new Map<string, string>();

/**
 * A deep copy of plain data, with what is referred to twice once: `structuredClone`, but its objects are of the same kind to V8 as those that
 * literals of the program make. Else code that is compiled for those is thrown away and compiled anew at the first copy, and is slower from then on.
 * `JSON.parse` makes such objects, of names in the same order.
 *
 * @param value numbers, texts, lists, typed arrays and objects without a class of their own
 */
export function copyAlike<Data>(value: Data): Data {
  return copyOf(value, new Map()) as Data;
}

function copyOf(value: unknown, copies: Map<object, unknown>): unknown {
  if (typeof value !== 'object' || value === null) return value;
  const known = copies.get(value);
  if (known !== undefined) return known;
  if (ArrayBuffer.isView(value)) {
    const copy = (value as Float64Array).slice();
    copies.set(value, copy);
    return copy;
  }
  if (Array.isArray(value)) {
    const copy: unknown[] = value.slice();
    copies.set(value, copy);
    for (let place = 0; place < copy.length; place++) copy[place] = copyOf(copy[place], copies);
    return copy;
  }
  const names = Object.keys(value);
  const copy = blankOf(names);
  copies.set(value, copy);
  for (const name of names) copy[name] = copyOf((value as Record<string, unknown>)[name], copies);
  return copy;
}

function blankOf(names: readonly string[]): Record<string, unknown> {
  const key = JSON.stringify(names);
  let blank = blanks.get(key);
  if (blank === undefined) {
    blank = `{${names.map((name) => `${JSON.stringify(name)}:0`).join()}}`;
    blanks.set(key, blank);
  }
  return JSON.parse(blank) as Record<string, unknown>;
}
