import { AppError, type Plant } from '../contract/index.ts';
import type { FileReport, RowRefusal } from '../decode/tally.ts';
import type { ImportMapping } from './import-mapping.ts';
import type { LocalHours } from './local-hours.ts';
import type { ToldCells } from './told-cells.ts';

/** A file to import: where it lies, and what people call it. */
export interface ImportedFile {
  readonly path: string;
  readonly name: string;
}

/** What is told while a file is imported. */
export type ImportStep =
  /** Bytes of the file read so far, packed as they lie there. */
  | { readonly kind: 'reading'; readonly bytes: number; readonly of: number }
  /** What became of its rows, once all are read. */
  | { readonly kind: 'read'; readonly reports: readonly FileReport[] }
  /** An earlier import of the same bytes was interrupted; this one goes on after so many pieces. */
  | { readonly kind: 'goes-on'; readonly pieces: number; readonly of: number }
  | { readonly kind: 'stored'; readonly pieces: number; readonly of: number; readonly readings: number };

export interface ImportStation {
  readonly station: string;
  readonly rows: number;
  /** First and last reading time, epoch ms. */
  readonly from: number;
  readonly to: number;
}

/** What an import, or a dry run of one, came to. */
export interface ImportOutcome {
  /** When the same bytes were imported before, epoch ms; nothing was done then. Null otherwise. */
  readonly importedBefore: number | null;
  readonly reports: readonly FileReport[];
  /** The first of what cannot be used, by line. */
  readonly refusals: readonly RowRefusal[];
  readonly stations: readonly ImportStation[];
  readonly readings: number;
  /** Of those that were stored now, how many were in the store already; absent in records of earlier versions. */
  readonly already?: number;
  /** Readings not taken, since their time has not come by our clock. */
  readonly ahead: number;
  /** Rows whose local time is not sure; null where all are. */
  readonly localHours: LocalHours | null;
  /** Cells that hold a mark of a missing value; null where there is none. */
  readonly missing: ToldCells | null;
  /** Cells whose only point was taken for a mark of thousands; null where there is none. */
  readonly thousands: ToldCells | null;
}

export interface ImportRules {
  readonly plant: Plant;
  readonly mapping: ImportMapping | null;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  readonly signal: AbortSignal;
  readonly tell: (step: ImportStep) => void | Promise<void>;
}

/** The error of an import that was asked to end. */
export class ImportStopped extends AppError {
  constructor(file: string, sharePerCent: number) {
    super('NOT_READY', `${file}: interrupted at ${sharePerCent} %; the same command goes on there`);
    this.name = 'ImportStopped';
  }
}
