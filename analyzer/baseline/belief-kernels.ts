import {
  type Code,
  constant,
  f64,
  f64x2,
  get,
  i32,
  set,
  until,
  type WasmFunction,
  wasmModule,
  when,
} from './wasm-code.ts';

/** What is used here of WebAssembly, which the types of Node leave out. */
declare const WebAssembly: {
  readonly Memory: new (size: { initial: number; maximum: number }) => { readonly buffer: ArrayBuffer };
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (module: object, imports: object) => { readonly exports: object };
  validate(bytes: Uint8Array): boolean;
};

/** Loops over numbers in one memory, two at a time; addresses are bytes. Each does to the last bit what the same loop does to single numbers. */
export interface BeliefKernels {
  readonly memory: ArrayBuffer;
  /** into −= factor · from, for so many numbers. */
  minus(into: number, from: number, factor: number, count: number): void;
  /**
   * into −= factor · row, for a row of the square matrix whose lower triangle is kept row after row.
   *
   * @param row where the triangle has that row, which is the `index`-th of so many
   */
  minusRow(row: number, index: number, rows: number, factor: number, into: number): void;
  /** Row after row of a lower triangle: triangle(i, j) −= moves(i) · moves(j). */
  triangle(triangle: number, moves: number, rows: number): void;
  /**
   * For each of so many lists that follow each other: sum += Σ factors · those of its numbers that are `at` so many bytes from its beginning.
   *
   * @param sums one for each list
   * @param at whole numbers of four bytes
   */
  gather(lists: number, bytes: number, sums: number, end: number, at: number, factors: number, terms: number): void;
  /** For each of so many lists of `count` numbers that follow each other: list −= pull · from; lists with a pull of 0 stay as they are. */
  spread(lists: number, count: number, pulls: number, end: number, from: number): void;
}

const NUMBER_BYTES = 8;
/** Numbers that one turn of the loops takes. Source: own choice, four pairs keep both units for them busy. */
const AT_ONCE = 8;

const advance = (local: number, numbers: number): Code =>
  set(local, i32.add(get(local), constant(numbers * NUMBER_BYTES)));

/** From `into` up to `end`: into −= factor · from; both locals move along. */
function minusSpan(into: number, from: number, end: number, factor: number, factors: number): Code {
  const pair = (offset: number): Code =>
    f64x2.store(
      get(into),
      f64x2.sub(f64x2.load(get(into), offset), f64x2.mul(get(factors), f64x2.load(get(from), offset))),
      offset,
    );
  const single = f64.store(get(into), f64.sub(f64.load(get(into)), f64.mul(get(factor), f64.load(get(from)))));
  const fewerThan = (numbers: number): Code => i32.gtU(i32.add(get(into), constant(numbers * NUMBER_BYTES)), get(end));
  const pairs = Array.from({ length: AT_ONCE / 2 }, (_, place) => pair(2 * place * NUMBER_BYTES));
  return [
    ...until(fewerThan(AT_ONCE), [...pairs, advance(into, AT_ONCE), advance(from, AT_ONCE)]),
    ...until(fewerThan(2), [pair(0), advance(into, 2), advance(from, 2)]),
    ...until(fewerThan(1), [single, advance(into, 1), advance(from, 1)]),
  ];
}

const minus: WasmFunction = (() => {
  const [into, from, factor, count, end, factors] = [0, 1, 2, 3, 4, 5];
  return {
    name: 'minus',
    parameters: ['i32', 'i32', 'f64', 'i32'],
    locals: ['i32', 'v128'],
    body: [
      ...set(end, i32.add(get(into), i32.shl(get(count), constant(3)))),
      ...set(factors, f64x2.splat(get(factor))),
      ...minusSpan(into, from, end, factor, factors),
    ],
  };
})();

const minusRow: WasmFunction = (() => {
  const [from, index, rows, factor, into, end, factors] = [0, 1, 2, 3, 4, 5, 6];
  return {
    name: 'minusRow',
    parameters: ['i32', 'i32', 'i32', 'f64', 'i32'],
    locals: ['i32', 'v128'],
    body: [
      ...set(end, i32.add(get(into), i32.shl(i32.add(get(index), constant(1)), constant(3)))),
      ...set(factors, f64x2.splat(get(factor))),
      ...minusSpan(into, from, end, factor, factors),
      // What is right of the diagonal stands below it: in each row that follows, one number further on.
      ...set(from, i32.add(get(from), i32.shl(get(index), constant(3)))),
      ...set(index, i32.add(get(index), constant(1))),
      ...until(i32.geS(get(index), get(rows)), [
        f64.store(get(into), f64.sub(f64.load(get(into)), f64.mul(get(factor), f64.load(get(from))))),
        set(index, i32.add(get(index), constant(1))),
        set(from, i32.add(get(from), i32.shl(get(index), constant(3)))),
        advance(into, 1),
      ]),
    ],
  };
})();

const triangle: WasmFunction = (() => {
  const [into, moves, rows, row, end, from, factor, factors] = [0, 1, 2, 3, 4, 5, 6, 7];
  return {
    name: 'triangle',
    parameters: ['i32', 'i32', 'i32'],
    locals: ['i32', 'i32', 'i32', 'f64', 'v128'],
    body: until(i32.geS(get(row), get(rows)), [
      set(factor, f64.load(i32.add(get(moves), i32.shl(get(row), constant(3))))),
      set(factors, f64x2.splat(get(factor))),
      set(row, i32.add(get(row), constant(1))),
      set(end, i32.add(get(into), i32.shl(get(row), constant(3)))),
      set(from, get(moves)),
      minusSpan(into, from, end, factor, factors),
    ]),
  };
})();

/** Lists whose sums are gathered at once. Source: own choice: one sum waits for its last addition, four do not wait for each other. */
const SUMS_AT_ONCE = 4;

const gather: WasmFunction = (() => {
  const [lists, bytes, sums, end, at, factors, terms, place, factor, last, offset, weight] = [
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11,
  ];
  const list = (one: number): number => 12 + one;
  const sum = (one: number): number => 12 + SUMS_AT_ONCE + one;
  const many = (count: number): Code[] => {
    const each = (code: (one: number) => Code): Code => Array.from({ length: count }, (_, one) => code(one)).flat();
    return [
      each((one) => set(list(one), one === 0 ? get(lists) : i32.add(get(list(one - 1)), get(bytes)))),
      each((one) => set(sum(one), f64.load(get(sums), one * NUMBER_BYTES))),
      set(place, get(at)),
      set(factor, get(factors)),
      until(i32.geU(get(place), get(last)), [
        set(offset, i32.load(get(place))),
        set(weight, f64.load(get(factor))),
        each((one) =>
          set(sum(one), f64.add(get(sum(one)), f64.mul(get(weight), f64.load(i32.add(get(list(one)), get(offset)))))),
        ),
        set(place, i32.add(get(place), constant(4))),
        advance(factor, 1),
      ]),
      each((one) => f64.store(get(sums), get(sum(one)), one * NUMBER_BYTES)),
      advance(sums, count),
      set(lists, i32.add(get(list(count - 1)), get(bytes))),
    ];
  };
  return {
    name: 'gather',
    parameters: ['i32', 'i32', 'i32', 'i32', 'i32', 'i32', 'i32'],
    locals: [
      ...(['i32', 'i32', 'i32', 'i32', 'f64'] as const),
      ...Array.from({ length: SUMS_AT_ONCE }, () => 'i32' as const),
      ...Array.from({ length: SUMS_AT_ONCE }, () => 'f64' as const),
    ],
    body: [
      ...set(last, i32.add(get(at), i32.shl(get(terms), constant(2)))),
      ...until(i32.gtU(i32.add(get(sums), constant(SUMS_AT_ONCE * NUMBER_BYTES)), get(end)), many(SUMS_AT_ONCE)),
      ...until(i32.geU(get(sums), get(end)), many(1)),
    ],
  };
})();

const spread: WasmFunction = (() => {
  const [into, count, pulls, end, numbers, last, from, factor, none, factors] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9];
  return {
    name: 'spread',
    parameters: ['i32', 'i32', 'i32', 'i32', 'i32'],
    locals: ['i32', 'i32', 'f64', 'f64', 'v128'],
    body: [
      ...set(count, i32.shl(get(count), constant(3))),
      ...until(i32.geU(get(pulls), get(end)), [
        set(factor, f64.load(get(pulls))),
        set(last, i32.add(get(into), get(count))),
        // A step that was not led astray stays as it is.
        when(f64.ne(get(factor), get(none)), [
          set(factors, f64x2.splat(get(factor))),
          set(from, get(numbers)),
          minusSpan(into, from, last, factor, factors),
        ]),
        set(into, get(last)),
        advance(pulls, 1),
      ]),
    ],
  };
})();

/**
 * The loops over a memory of so many pages of 64 KiB; null on a machine that cannot take numbers in pairs.
 *
 * Source: IEEE 754-2019: one operation of a pair rounds each number as the operation of one does.
 */
export function beliefKernels(pages: number): BeliefKernels | null {
  const bytes = wasmModule([minus, minusRow, triangle, gather, spread]);
  if (!WebAssembly.validate(bytes)) return null;
  const memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { room: { memory } });
  return { memory: memory.buffer, ...(exports as Omit<BeliefKernels, 'memory'>) };
}
