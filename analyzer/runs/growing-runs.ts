import { RUN_FIELDS, type RunField, type RunTable } from '../../collector/contract/index.ts';

/** Source: own choice: a plant may have thousands of stations that never spray, so little room is set aside at first. */
const FIRST_CAPACITY = 16;

/**
 * Rows up to which room is doubled; from there on a quarter is added. Source: own choice: years of a gun are 20 MB each,
 * of which room for as much again would be in vain.
 */
const DOUBLED = 16_384;

/**
 * A RunTable that grows at its end, and can be cut back to an earlier length when late readings come. Its first rows may be let go of;
 * rows are counted with them all the same.
 */
export class GrowingRuns {
  readonly gun: string;
  /** Rows that are not here any more. */
  #base = 0;
  #length = 0;
  #capacity: number;
  #columns: Float64Array[];
  #powders: string[];
  /** The columns are somebody else's too: they are copied before anything is written. */
  #lent: boolean;

  /**
   * @param from rows to begin with, e.g. those that a store kept; not changed, and not to be changed
   * @param base rows before them that are not here
   */
  constructor(gun: string, from?: RunTable, base = 0) {
    this.gun = gun;
    this.#base = base;
    this.#lent = from !== undefined;
    this.#length = from?.length ?? 0;
    this.#capacity = from === undefined ? FIRST_CAPACITY : this.#length;
    this.#columns = RUN_FIELDS.map((field) => from?.columns[field] ?? new Float64Array(FIRST_CAPACITY));
    this.#powders = [...(from?.powders ?? [])];
  }

  /** All rows, with those that are not here any more. */
  get length(): number {
    return this.#base + this.#length;
  }

  /** The first row that is here. */
  get base(): number {
    return this.#base;
  }

  /** Appends one run: one value a field, in the order of RUN_FIELDS. */
  push(row: Float64Array): void {
    if (this.#lent || this.#length === this.#capacity) this.#grow();
    for (let field = 0; field < this.#columns.length; field++) this.#columns[field]![this.#length] = row[field]!;
    this.#length++;
  }

  /** Index of a powder in the table's list, which it joins when it is new. */
  powderIndex(id: string): number {
    const known = this.#powders.indexOf(id);
    if (known >= 0) return known;
    this.#powders.push(id);
    return this.#powders.length - 1;
  }

  powder(index: number): string {
    return this.#powders[index]!;
  }

  get powderCount(): number {
    return this.#powders.length;
  }

  /**
   * Forgets all rows from `length` on and all powders from `powders` on.
   *
   * @throws {RangeError} rows before `length` are not here any more
   */
  truncate(length: number, powders: number): void {
    if (length < this.#base)
      throw new RangeError(`rows up to ${length} of ${this.gun}: those before ${this.#base} are let go of`);
    this.#length = Math.min(length - this.#base, this.#length);
    this.#powders.length = Math.min(powders, this.#powders.length);
  }

  /** Lets go of the rows before `row`, and of the memory that they take. */
  letGo(row: number): void {
    const gone = Math.min(row - this.#base, this.#length);
    if (gone <= 0) return;
    this.#base += gone;
    this.#length -= gone;
    // Room for some more, and not for all that was.
    this.#capacity = Math.max(FIRST_CAPACITY, this.#length + (this.#length >> 2));
    this.#columns = this.#columns.map((column) => {
      const smaller = new Float64Array(this.#capacity);
      smaller.set(column.subarray(gone, gone + this.#length));
      return smaller;
    });
    this.#lent = false;
  }

  /** The rows from `from` on, at least from the first that is here, as a view: it does not see rows pushed later, and must not be kept over `truncate`. */
  table(from = this.#base): RunTable {
    const first = Math.max(0, from - this.#base);
    // Made at once: an object that so many fields are added to one by one becomes a hash table, slow to read at every run.
    const columns = Object.fromEntries(
      RUN_FIELDS.map((field, index) => [field, this.#columns[index]!.subarray(first, this.#length)]),
    ) as Record<RunField, Float64Array>;
    return { gun: this.gun, length: this.#length - first, columns, powders: [...this.#powders] };
  }

  #grow(): void {
    const more = this.#length > DOUBLED ? Math.floor(this.#length / 4) : this.#length;
    this.#capacity = Math.max(FIRST_CAPACITY, this.#length + more);
    this.#lent = false;
    this.#columns = this.#columns.map((column) => {
      const larger = new Float64Array(this.#capacity);
      larger.set(column.subarray(0, this.#length));
      return larger;
    });
  }
}
