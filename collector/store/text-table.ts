import { channelIndex } from '../contract/channels.ts';
import type { Block } from './block.ts';
import type { Sql } from './sql.ts';

const POWDER = channelIndex('powder/id');

/** The store's dictionary of powder ids as one connection knows it, with numbers of its own for those only in the tail. */
export class TextTable {
  readonly #texts: string[] = [];
  readonly #numbers = new Map<string, number>();
  /** Own number by the store's id. */
  readonly #ids = new Map<number, number>();
  #lastId = 0;

  /** By own number. */
  get texts(): readonly string[] {
    return this.#texts;
  }

  /** Learns what the store's dictionary got since. */
  refresh(sql: Sql): void {
    for (const { id, text } of sql.all<{ id: number; text: string }>(
      'SELECT id, text FROM text WHERE id > ? ORDER BY id',
      this.#lastId,
    )) {
      this.#ids.set(id, this.number(text));
      this.#lastId = id;
    }
  }

  number(text: string): number {
    const known = this.#numbers.get(text);
    if (known !== undefined) return known;
    const number = this.#texts.push(text) - 1;
    this.#numbers.set(text, number);
    return number;
  }

  /** Puts own numbers for the store's ids in a block just unpacked from chunks. */
  translate(block: Block): void {
    const column = block.columns[POWDER];
    if (!column) return;
    for (let row = 0; row < block.rows; row++) {
      const id = column[row] as number;
      if (!Number.isNaN(id)) column[row] = this.#ids.get(id) ?? Number.NaN;
    }
  }
}
