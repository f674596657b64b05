import type { States } from '../store/store.ts';
import type { ImportMapping } from './import-mapping.ts';
import type { ImportOutcome, ImportStep } from './import-steps.ts';

const PREFIX = 'import/desk/';

/** A file that was given to the service, and how far it has come. */
export interface ImportRecord {
  readonly id: string;
  /** As the person's machine calls it. */
  readonly file: string;
  readonly bytes: number;
  readonly who: string;
  /** Epoch ms. */
  readonly begunAt: number;
  /**
   * `arriving`: not all bytes are here; `ready`: they are, and nothing runs; `running`; `done`: the readings are stored; `stopped`: a
   * person ended it; `refused`: it cannot be used.
   */
  readonly stage: 'arriving' | 'ready' | 'running' | 'done' | 'stopped' | 'refused';
  /** What runs, or ran last. */
  readonly task: 'dry-run' | 'import' | null;
  readonly mapping: ImportMapping | null;
  /** Headings that the mapping was made for; null before it ran, and for the contract's own form. */
  readonly headings: readonly string[] | null;
  /** Who had it run last. */
  readonly ranBy: string;
  readonly outcome: ImportOutcome | null;
  /** Why it was refused, one sentence. */
  readonly fault: string | null;
}

/** A record with what changes from second to second. */
export interface ShownImport extends Omit<ImportRecord, 'headings' | 'ranBy'> {
  /** Bytes that are here. */
  readonly received: number;
  readonly step: ImportStep | null;
}

/** The records of imports, in the store's states. */
export class ImportRecords {
  readonly #states: States;

  constructor(states: States) {
    this.#states = states;
  }

  /** Newest first. */
  list(): ImportRecord[] {
    return this.#states
      .keys(PREFIX)
      .map((key) => readJson<ImportRecord>(this.#states, key)!)
      .sort((left, right) => right.begunAt - left.begunAt || Number(right.id) - Number(left.id));
  }

  get(id: string): ImportRecord | null {
    return readJson<ImportRecord>(this.#states, PREFIX + id);
  }

  put(record: ImportRecord): void {
    writeJson(this.#states, PREFIX + record.id, record);
  }

  delete(id: string): void {
    this.#states.delete(PREFIX + id);
  }
}

export function readJson<T>(states: States, key: string): T | null {
  const bytes = states.get(key);
  return bytes === null ? null : (JSON.parse(Buffer.from(bytes).toString('utf8')) as T);
}

export function writeJson(states: States, key: string, value: unknown): void {
  states.put(key, Buffer.from(JSON.stringify(value)));
}
