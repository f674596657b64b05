import { type Code, constant, f64, f64x2, get, i32, set, until, type WasmFunction, when } from './wasm-code.ts';
import { wasmKernels } from './wasm-kernels.ts';

/** Loops over numbers in one memory, two at a time; addresses are bytes. Each does to the last bit what the same loop does to single numbers. */
export interface BeliefKernels {
  readonly memory: ArrayBuffer;
  /**
   * For so many numbers: into = Σ factors · rows, of the square matrix whose lower triangle is kept row after row.
   *
   * @param at places of the rows, whole numbers of four bytes, up to `end`
   * @param factors one for each of them
   */
  addRows(triangle: number, rows: number, at: number, end: number, factors: number, into: number): void;
  /**
   * row ·= factor, for such a row.
   *
   * @param row where the triangle has that row, which is the `index`-th of so many
   */
  scaleRow(row: number, index: number, rows: number, factor: number): void;
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

type Operation = 'add' | 'sub';

/** From `into` up to `end`: into ±= factor · from; both locals move along. */
function spanOf(operation: Operation, into: number, from: number, end: number, factor: number, factors: number): Code {
  const pair = (offset: number): Code =>
    f64x2.store(
      get(into),
      f64x2[operation](f64x2.load(get(into), offset), f64x2.mul(get(factors), f64x2.load(get(from), offset))),
      offset,
    );
  const single = f64.store(get(into), f64[operation](f64.load(get(into)), f64.mul(get(factor), f64.load(get(from)))));
  const pairs = Array.from({ length: AT_ONCE / 2 }, (_, place) => pair(2 * place * NUMBER_BYTES));
  return [
    ...until(fewerThan(AT_ONCE, into, end), [...pairs, advance(into, AT_ONCE), advance(from, AT_ONCE)]),
    ...until(fewerThan(2, into, end), [pair(0), advance(into, 2), advance(from, 2)]),
    ...until(fewerThan(1, into, end), [single, advance(into, 1), advance(from, 1)]),
  ];
}

/** That fewer numbers than so many are left from `at` up to `end`. */
const fewerThan = (numbers: number, at: number, end: number): Code =>
  i32.gtU(i32.add(get(at), constant(numbers * NUMBER_BYTES)), get(end));

/**
 * On to what is right of the diagonal of the `index`-th row, once `from` is behind it: it stands below the diagonal, in each row that follows
 * one number further on.
 */
function below(index: number, from: number, rows: number, body: readonly Code[]): Code {
  return [
    ...set(from, i32.add(get(from), i32.shl(get(index), constant(3)))),
    ...set(index, i32.add(get(index), constant(1))),
    ...until(i32.geS(get(index), get(rows)), [
      ...body,
      set(index, i32.add(get(index), constant(1))),
      set(from, i32.add(get(from), i32.shl(get(index), constant(3)))),
    ]),
  ];
}

const addRows: WasmFunction = (() => {
  const [triangle, rows, at, end, weights, into, index, from, to, last, factor, factors] = [
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11,
  ];
  return {
    name: 'addRows',
    parameters: ['i32', 'i32', 'i32', 'i32', 'i32', 'i32'],
    locals: ['i32', 'i32', 'i32', 'i32', 'f64', 'v128'],
    body: [
      ...set(to, get(into)),
      ...set(last, i32.add(get(into), i32.shl(get(rows), constant(3)))),
      ...until(i32.geU(get(to), get(last)), [f64.store(get(to), get(factor)), advance(to, 1)]),
      ...until(i32.geU(get(at), get(end)), [
        set(index, i32.load(get(at))),
        set(factor, f64.load(get(weights))),
        set(factors, f64x2.splat(get(factor))),
        // Four bytes times index · (index + 1): half of as many numbers.
        set(from, i32.add(get(triangle), i32.shl(i32.mul(get(index), i32.add(get(index), constant(1))), constant(2)))),
        set(to, get(into)),
        set(last, i32.add(get(into), i32.shl(i32.add(get(index), constant(1)), constant(3)))),
        spanOf('add', to, from, last, factor, factors),
        below(index, from, rows, [
          f64.store(get(to), f64.add(f64.load(get(to)), f64.mul(get(factor), f64.load(get(from))))),
          advance(to, 1),
        ]),
        set(at, i32.add(get(at), constant(4))),
        advance(weights, 1),
      ]),
    ],
  };
})();

const scaleRow: WasmFunction = (() => {
  const [from, index, rows, factor, end, factors] = [0, 1, 2, 3, 4, 5];
  const pair = (offset: number): Code =>
    f64x2.store(get(from), f64x2.mul(get(factors), f64x2.load(get(from), offset)), offset);
  const single = f64.store(get(from), f64.mul(get(factor), f64.load(get(from))));
  return {
    name: 'scaleRow',
    parameters: ['i32', 'i32', 'i32', 'f64'],
    locals: ['i32', 'v128'],
    body: [
      ...set(end, i32.add(get(from), i32.shl(i32.add(get(index), constant(1)), constant(3)))),
      ...set(factors, f64x2.splat(get(factor))),
      ...until(fewerThan(2, from, end), [pair(0), advance(from, 2)]),
      ...until(fewerThan(1, from, end), [single, advance(from, 1)]),
      ...below(index, from, rows, [single]),
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
      spanOf('sub', into, from, end, factor, factors),
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
          spanOf('sub', into, from, last, factor, factors),
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
  return wasmKernels<BeliefKernels>([addRows, scaleRow, triangle, gather, spread], pages);
}
