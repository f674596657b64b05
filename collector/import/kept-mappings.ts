import { createHash } from 'node:crypto';
import type { States } from '../store/store.ts';
import type { ImportMapping } from './import-mapping.ts';
import { readJson, writeJson } from './import-record.ts';
import type { OfferedMapping } from './offer-mapping.ts';

/** A mapping that was used before for a file with the same headings. */
export interface KeptMapping {
  readonly mapping: ImportMapping;
  /** File that it was last used for. */
  readonly file: string;
  readonly who: string;
  /** Epoch ms. */
  readonly usedAt: number;
}

/** Headings, and how the text is written in which they stand. */
type Headed = Pick<OfferedMapping, 'headings' | 'delimiter' | 'encoding' | 'skipLines'>;

/** Mappings by the headings of the files that they were used for. */
export class KeptMappings {
  readonly #states: States;

  constructor(states: States) {
    this.#states = states;
  }

  /** None where these headings stood in a text that was written otherwise: with another delimiter, say. */
  get({ headings, delimiter, encoding, skipLines }: Headed): KeptMapping | null {
    const kept = readJson<KeptMapping>(this.#states, keyOf(headings));
    if (kept === null) return null;
    const { mapping } = kept;
    return mapping.delimiter === delimiter && mapping.encoding === encoding && mapping.skipLines === skipLines
      ? kept
      : null;
  }

  put(headings: readonly string[], kept: KeptMapping): void {
    writeJson(this.#states, keyOf(headings), kept);
  }
}

function keyOf(headings: readonly string[]): string {
  return `import/mapping/${createHash('sha256').update(JSON.stringify(headings)).digest('hex')}`;
}
