import { AppError } from '../contract/errors.ts';
import { RUN_FIELDS, type RunField, type RunTable } from '../contract/runs.ts';
import { ByteWriter } from './bytes.ts';
import { decodeColumn, encodeColumn, skipColumn } from './column-codec.ts';
import { deflated, inflated, type Packing } from './deflated.ts';

const VERSION = 1;
/** Medians of decimals are decimals, or halves of their last digit. */
const SCALES = [1, 1e3, 2e5];

/**
 * Runs [from, to) of a table, compressed and without loss:
 * u16 powders with each u16 length and UTF-8, u16 fields, and the columns in the order of RUN_FIELDS.
 */
export function encodeRuns(table: RunTable, from: number, to: number, packing: Packing = 'quick'): Buffer {
  const out = new ByteWriter();
  const { powders, numbers } = powdersIn(table, from, to);
  out.u16(powders.length);
  for (const powder of powders) {
    const bytes = Buffer.from(powder, 'utf8');
    out.u16(bytes.length);
    out.bytes(bytes);
  }
  out.u16(RUN_FIELDS.length);
  for (const field of RUN_FIELDS)
    encodeColumn(out, field === 'powder' ? numbers : table.columns[field].subarray(from, to), to - from, SCALES);
  return deflated(VERSION, out, packing);
}

/** The powders that these runs use, and the powder column that points into them. */
function powdersIn(table: RunTable, from: number, to: number): { powders: string[]; numbers: Float64Array } {
  const powders: string[] = [];
  const known = new Map<number, number>();
  const numbers = table.columns.powder.slice(from, to);
  for (let i = 0; i < numbers.length; i++) {
    const before = numbers[i] as number;
    if (!(before >= 0)) continue;
    let number = known.get(before);
    if (number === undefined) {
      number = powders.push(table.powders[before] ?? '') - 1;
      known.set(before, number);
    }
    numbers[i] = number;
  }
  return { powders, numbers };
}

/**
 * Unpacks a chunk of `runs` runs into rows from `at` on.
 *
 * @param columns of the fields that are wanted
 * @param powderNumber number of a powder in the table that is made
 * @throws {AppError} STORE_UNUSABLE when the bytes are no chunk of runs
 */
export function decodeRuns(
  body: Uint8Array,
  runs: number,
  columns: Readonly<Partial<Record<RunField, Float64Array>>>,
  at: number,
  powderNumber: (powder: string) => number,
): void {
  try {
    const input = inflated(VERSION, body);
    const powders: number[] = [];
    for (let left = input.u16(); left > 0; left--)
      powders.push(powderNumber(Buffer.from(input.bytes(input.u16())).toString('utf8')));
    const fields = input.u16();
    for (const [index, field] of RUN_FIELDS.entries()) {
      const column = columns[field];
      // Fields that came after this chunk was written were not known then.
      if (index >= fields) column?.fill(Number.NaN, at, at + runs);
      else if (column === undefined) skipColumn(input, runs);
      else decodeColumn(input, runs, column, at);
    }
    const { powder } = columns;
    for (let row = at; powder !== undefined && row < at + runs; row++) {
      const number = powder[row] as number;
      if (number >= 0) powder[row] = powders[number] as number;
    }
  } catch (error) {
    throw new AppError(
      'STORE_UNUSABLE',
      `a chunk of spray runs in the store is damaged: ${error instanceof Error ? error.message : String(error)}; restore a backup`,
      {
        cause: error,
      },
    );
  }
}
