import { createHash } from 'node:crypto';
import type { States } from '../store/store.ts';
import type { ImportMapping } from './import-mapping.ts';
import { readJson, writeJson } from './import-record.ts';

/** A mapping that was used before for a file with the same headings. */
export interface KeptMapping {
  readonly mapping: ImportMapping;
  /** File that it was last used for. */
  readonly file: string;
  readonly who: string;
  /** Epoch ms. */
  readonly usedAt: number;
}

/** Mappings by the headings of the files that they were used for. */
export class KeptMappings {
  readonly #states: States;

  constructor(states: States) {
    this.#states = states;
  }

  get(headings: readonly string[]): KeptMapping | null {
    return readJson(this.#states, keyOf(headings));
  }

  put(headings: readonly string[], kept: KeptMapping): void {
    writeJson(this.#states, keyOf(headings), kept);
  }
}

function keyOf(headings: readonly string[]): string {
  return `import/mapping/${createHash('sha256').update(JSON.stringify(headings)).digest('hex')}`;
}
