import { type Code, constant, f64, f64x2, get, i32, set, until, type WasmFunction } from './wasm-code.ts';
import { wasmKernels } from './wasm-kernels.ts';

/** How a grid of levels and leaks lies in memory: where each list begins, as numbers from its start. */
export interface LevelLists {
  /** Levels; an odd number of them, three at least. */
  readonly levels: number;
  /** Steps of the grid by which each leak shifts what is seen; the first is none. */
  readonly leaks: readonly number[];
  /** Levels either way over which one is spread. */
  readonly reach: number;
  /** Levels of each leak, one after the other. */
  readonly belief: number;
  readonly next: number;
  readonly moved: number;
  readonly likely: number;
  /** One number a leak. */
  readonly others: number;
  readonly sizes: number;
  /** One number a level. */
  readonly parts: number;
  /** Levels with as many noughts as the reach either side, and how they are spread, last first. */
  readonly weights: number;
  readonly blur: number;
}

/** Loops over such a grid, two levels at a time. Each does to the last bit what the loops of `leak-grid.ts` do to single numbers. */
export interface LevelKernels {
  readonly memory: ArrayBuffer;
  spread(): void;
  predict(side: number, stays: number, change: number): void;
  weigh(begins: number, goes: number, ends: number, lasts: number): void;
  share(total: number): void;
}

const BYTES = 8;
const PAIR = 2 * BYTES;

const step = (local: number, by: number): Code => set(local, i32.add(get(local), constant(by)));
const loop = (at: number, from: number, to: number, by: number, body: readonly Code[]): Code => [
  ...set(at, constant(from)),
  ...until(i32.geU(get(at), constant(to)), [...body, step(at, by)]),
];

/** next += weights spread, but for the levels at either end. */
function spread({ levels, reach, next, weights, blur }: LevelLists): WasmFunction {
  const [at, sum, one] = [0, 1, 2];
  const taps = Array.from({ length: 2 * reach + 1 }, (_, tap) => tap);
  return {
    name: 'spread',
    parameters: [],
    locals: ['i32', 'v128', 'f64'],
    body: [
      ...loop(at, BYTES, (levels - 2) * BYTES, PAIR, [
        set(sum, f64x2.load(get(at), next * BYTES)),
        ...taps.map((tap) =>
          set(
            sum,
            f64x2.add(
              get(sum),
              f64x2.mul(
                f64x2.load(get(at), (weights + tap) * BYTES),
                f64x2.splat(f64.load(constant(0), (blur + tap) * BYTES)),
              ),
            ),
          ),
        ),
        f64x2.store(get(at), get(sum), next * BYTES),
      ]),
      ...set(one, f64.load(get(at), next * BYTES)),
      ...taps.flatMap((tap) =>
        set(
          one,
          f64.add(
            get(one),
            f64.mul(f64.load(get(at), (weights + tap) * BYTES), f64.load(constant(0), (blur + tap) * BYTES)),
          ),
        ),
      ),
      ...f64.store(get(at), get(one), next * BYTES),
    ],
  };
}

/** Every leak's levels wander, and a share of them goes over to what may come next; how much that is of each leak is left in `others`. */
function predict({ levels, leaks, belief, next, moved, others }: LevelLists): WasmFunction {
  const [side, stays, change, at, row, leak, own, sum, sides, all, mass, masses] = [
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11,
  ];
  const last = (levels - 1) * BYTES;
  const from = (offset: number): number => belief * BYTES + offset;
  const to = moved * BYTES;
  /** own + side · (before + after − 2 · own) of the level at `row` + `at`. */
  const wandered = (numbers: typeof f64 | typeof f64x2, by: number, address: Code): Code => {
    const middle = numbers.load(address, from(0));
    const around = numbers.add(numbers.load(address, from(-BYTES)), numbers.load(address, from(BYTES)));
    return numbers.add(middle, numbers.mul(get(by), numbers.sub(around, numbers.add(middle, middle))));
  };
  const here = i32.add(get(row), get(at));
  const edge = (offset: number, beside: Code, twice: Code): readonly Code[] => [
    set(own, f64.load(get(row), from(offset))),
    f64.store(constant(0), f64.add(get(own), f64.mul(get(side), f64.sub(beside, twice))), to + offset),
  ];
  const taken = (numbers: typeof f64 | typeof f64x2, keep: Code, give: Code): Code =>
    numbers.store(
      here,
      numbers.add(numbers.mul(keep, numbers.load(get(at), to)), numbers.mul(give, numbers.load(get(at), next * BYTES))),
      from(0),
    );
  return {
    name: 'predict',
    parameters: ['f64', 'f64', 'f64'],
    locals: ['i32', 'i32', 'i32', 'f64', 'v128', 'v128', 'v128', 'f64', 'v128'],
    body: [
      ...set(sides, f64x2.splat(get(side))),
      ...set(all, f64x2.splat(get(stays))),
      ...loop(row, 0, leaks.length * levels * BYTES, levels * BYTES, [
        ...edge(0, f64.add(get(own), f64.load(get(row), from(BYTES))), f64.add(get(own), get(own))),
        loop(at, BYTES, last - BYTES, PAIR, [f64x2.store(get(at), wandered(f64x2, sides, here), to)]),
        f64.store(get(at), wandered(f64, side, here), to),
        ...edge(last, f64.load(get(row), from(last - BYTES)), get(own)),
        set(sum, f64x2.load(constant(0), to)),
        loop(at, PAIR, last, PAIR, [set(sum, f64x2.add(get(sum), f64x2.load(get(at), to)))]),
        set(
          mass,
          f64.mul(
            get(change),
            f64.add(f64.add(f64x2.lane(get(sum), 0), f64.load(get(at), to)), f64x2.lane(get(sum), 1)),
          ),
        ),
        f64.store(get(leak), get(mass), others * BYTES),
        step(leak, BYTES),
        set(masses, f64x2.splat(get(mass))),
        loop(at, 0, last, PAIR, [taken(f64x2, get(all), get(masses))]),
        taken(f64, get(stays), get(mass)),
      ]),
    ],
  };
}

/** What was believed times how likely it makes what is seen; leaks begin and end meanwhile. What each level comes to is left in `parts`. */
function weigh({ levels, leaks, belief, likely, sizes, parts }: LevelLists): WasmFunction {
  const [begins, goes, ends, lasts, at] = [0, 1, 2, 3, 4];
  const singles = { none: 5, begun: 6, healed: 7, sum: 8, now: 9 };
  const pairs = { none: 10, begun: 11, healed: 12, sum: 13, now: 14, begins: 15, goes: 16, ends: 17, lasts: 18 };
  const deepest = Math.max(...leaks);
  const body = (
    numbers: typeof f64 | typeof f64x2,
    local: typeof singles,
    by: { readonly begins: number; readonly goes: number; readonly ends: number; readonly lasts: number },
    many: (one: Code) => Code,
  ): readonly Code[] => {
    const seen = (leak: number): Code => numbers.load(get(at), (likely + deepest - leaks[leak]!) * BYTES);
    const place = (leak: number): number => (belief + leak * levels) * BYTES;
    return [
      set(local.none, numbers.load(get(at), place(0))),
      set(local.begun, numbers.mul(get(by.begins), get(local.none))),
      ...leaks.flatMap((_, leak) => {
        if (leak === 0) return [];
        const healed = numbers.mul(get(by.ends), get(local.now));
        const size = many(f64.load(constant(0), (sizes + leak) * BYTES));
        const weighed = numbers.mul(
          numbers.add(numbers.mul(get(by.lasts), get(local.now)), numbers.mul(get(local.begun), size)),
          seen(leak),
        );
        return [
          set(local.now, numbers.load(get(at), place(leak))),
          set(local.healed, leak === 1 ? healed : numbers.add(get(local.healed), healed)),
          set(local.now, weighed),
          numbers.store(get(at), get(local.now), place(leak)),
          set(local.sum, leak === 1 ? get(local.now) : numbers.add(get(local.sum), get(local.now))),
        ];
      }),
      set(local.now, numbers.mul(numbers.add(numbers.mul(get(by.goes), get(local.none)), get(local.healed)), seen(0))),
      numbers.store(get(at), get(local.now), place(0)),
      numbers.store(get(at), numbers.add(get(local.sum), get(local.now)), parts * BYTES),
    ];
  };
  return {
    name: 'weigh',
    parameters: ['f64', 'f64', 'f64', 'f64'],
    locals: [
      'i32',
      ...Object.keys(singles).map(() => 'f64' as const),
      ...Object.keys(pairs).map(() => 'v128' as const),
    ],
    body: [
      ...set(pairs.begins, f64x2.splat(get(begins))),
      ...set(pairs.goes, f64x2.splat(get(goes))),
      ...set(pairs.ends, f64x2.splat(get(ends))),
      ...set(pairs.lasts, f64x2.splat(get(lasts))),
      ...loop(at, 0, (levels - 1) * BYTES, PAIR, body(f64x2, pairs, pairs, f64x2.splat)),
      ...body(f64, singles, { begins, goes, ends, lasts }, (one) => one).flat(),
    ],
  };
}

/** All of it over a total; what is left of each leak is in `others`. */
function share({ levels, leaks, belief, others }: LevelLists): WasmFunction {
  const [total, at, row, leak, sum, totals, now] = [0, 1, 2, 3, 4, 5, 6];
  const last = (levels - 1) * BYTES;
  const here = i32.add(get(row), get(at));
  const shared = (offset: number, address: Code): readonly Code[] => [
    set(now, f64x2.div(f64x2.load(address, offset), get(totals))),
    f64x2.store(address, get(now), offset),
  ];
  const single = f64.div(f64.load(here, belief * BYTES), get(total));
  return {
    name: 'share',
    parameters: ['f64'],
    locals: ['i32', 'i32', 'i32', 'v128', 'v128', 'v128'],
    body: [
      ...set(totals, f64x2.splat(get(total))),
      ...loop(row, 0, leaks.length * levels * BYTES, levels * BYTES, [
        ...shared(belief * BYTES, get(row)),
        set(sum, get(now)),
        loop(at, PAIR, last, PAIR, [...shared(belief * BYTES, here), set(sum, f64x2.add(get(sum), get(now)))]),
        f64.store(here, single, belief * BYTES),
        f64.store(
          get(leak),
          f64.add(f64.add(f64x2.lane(get(sum), 0), f64.load(here, belief * BYTES)), f64x2.lane(get(sum), 1)),
          others * BYTES,
        ),
        step(leak, BYTES),
      ]),
    ],
  };
}

/**
 * The loops over one page of memory that holds such a grid; null on a machine that cannot take numbers in pairs.
 *
 * Source: IEEE 754-2019: one operation of a pair rounds each number as the operation of one does.
 */
export function levelKernels(lists: LevelLists): LevelKernels | null {
  return wasmKernels<LevelKernels>([spread(lists), predict(lists), weigh(lists), share(lists)], 1);
}
