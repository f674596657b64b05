/**
 * Just enough of WebAssembly's binary format to write loops over numbers down in the program's own language: what compiles a text to it would be
 * one more thing to install, and bytes that nobody can read one more to trust.
 *
 * Source: WebAssembly Core Specification 2.0 (W3C), section 5, binary format.
 */
export type Code = readonly number[];

/** Types of parameters and locals. */
export const TYPE = { i32: 0x7f, f64: 0x7c, v128: 0x7b } as const;
export type ValueType = keyof typeof TYPE;

/** A function without results. */
export interface WasmFunction {
  readonly name: string;
  readonly parameters: readonly ValueType[];
  readonly locals: readonly ValueType[];
  readonly body: Code;
}

/** An unsigned number in LEB128. */
function unsigned(value: number): number[] {
  return value < 0x80 ? [value] : [(value & 0x7f) | 0x80, ...unsigned(value >>> 7)];
}

const vector = (items: readonly Code[]): number[] => [...unsigned(items.length), ...items.flat()];
const sized = (code: Code): number[] => [...unsigned(code.length), ...code];
const section = (id: number, content: Code): number[] => [id, ...sized(content)];
const text = (value: string): number[] => sized([...new TextEncoder().encode(value)]);

export const get = (local: number): Code => [0x20, local];
export const set = (local: number, value: Code): Code => [...value, 0x21, local];

/** @param value from -64 to 8191 */
export const constant = (value: number): Code => [
  0x41,
  ...(value < 64 ? [value & 0x7f] : [(value & 0x7f) | 0x80, value >> 7]),
];

const binary =
  (...operation: number[]) =>
  (left: Code, right: Code): Code => [...left, ...right, ...operation];
export const i32 = {
  ...{
    add: binary(0x6a),
    mul: binary(0x6c),
    shl: binary(0x74),
    geU: binary(0x4f),
    gtU: binary(0x4b),
    geS: binary(0x4e),
  },
  load: (address: Code): Code => [...address, 0x28, 2, 0],
};

/** A kind of number in memory: double precision, alone or in pairs. */
interface Numbers {
  readonly load: (address: Code, offset?: number) => Code;
  readonly store: (address: Code, value: Code, offset?: number) => Code;
  readonly add: (left: Code, right: Code) => Code;
  readonly sub: (left: Code, right: Code) => Code;
  readonly mul: (left: Code, right: Code) => Code;
}
/** That an address is a multiple of eight, as a power of two: pairs may begin at any number. */
const ALIGNED = 3;
export const f64 = {
  load: (address: Code, offset = 0): Code => [...address, 0x2b, ALIGNED, ...unsigned(offset)],
  store: (address: Code, value: Code, offset = 0): Code => [...address, ...value, 0x39, ALIGNED, ...unsigned(offset)],
  add: binary(0xa0),
  sub: binary(0xa1),
  mul: binary(0xa2),
  div: binary(0xa3),
  ne: binary(0x62),
} satisfies Numbers & Record<'ne' | 'div', ReturnType<typeof binary>>;
export const f64x2: Numbers & {
  readonly div: ReturnType<typeof binary>;
  readonly splat: (value: Code) => Code;
  /** One of a pair: 0 or 1. */
  readonly lane: (value: Code, which: number) => Code;
} = {
  load: (address, offset = 0) => [...address, 0xfd, 0x00, ALIGNED, ...unsigned(offset)],
  store: (address, value, offset = 0) => [...address, ...value, 0xfd, 0x0b, ALIGNED, ...unsigned(offset)],
  add: binary(0xfd, 0xf0, 0x01),
  sub: binary(0xfd, 0xf1, 0x01),
  mul: binary(0xfd, 0xf2, 0x01),
  div: binary(0xfd, 0xf3, 0x01),
  splat: (value) => [...value, 0xfd, 0x14],
  lane: (value, which) => [...value, 0xfd, 0x21, which],
};

/** Does `body` again and again until `done`, which is looked at before. */
export const until = (done: Code, body: readonly Code[]): Code => [
  ...[0x02, 0x40, 0x03, 0x40],
  ...[...done, 0x0d, 1],
  ...body.flat(),
  ...[0x0c, 0, 0x0b, 0x0b],
];

/** Does `body` where a condition holds. */
export const when = (condition: Code, body: readonly Code[]): Code => [...condition, 0x04, 0x40, ...body.flat(), 0x0b];

/** A module of functions over a memory that it imports as `room.memory`. */
export function wasmModule(functions: readonly WasmFunction[]): Uint8Array<ArrayBuffer> {
  const types = functions.map(({ parameters }) => [0x60, ...vector(parameters.map((type) => [TYPE[type]])), 0]);
  const memory = [...text('room'), ...text('memory'), 0x02, 0x00, 0x01];
  const exported = functions.map(({ name }, index) => [...text(name), 0x00, index]);
  const bodies = functions.map(({ locals, body }) =>
    sized([...vector(locals.map((type) => [1, TYPE[type]])), ...body, 0x0b]),
  );
  return Uint8Array.from([
    ...[0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00],
    ...section(1, vector(types)),
    ...section(2, vector([memory])),
    ...section(3, vector(functions.map((_, index) => [index]))),
    ...section(7, vector(exported)),
    ...section(10, vector(bodies)),
  ]);
}
