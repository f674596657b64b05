import type { Code, Plant } from '../contract/index.ts';
import type { ImportMapping } from './import-mapping.ts';
import type { ImportedFile, ImportOutcome, ImportStep } from './import-steps.ts';

/** What the thread of one import starts with. */
export interface ImportOrder {
  readonly dir: string;
  readonly plant: Plant;
  readonly file: ImportedFile;
  readonly mapping: ImportMapping | null;
  readonly dryRun: boolean;
}

/** What it tells. */
export type ImportNews =
  | { readonly kind: 'step'; readonly step: ImportStep }
  | { readonly kind: 'done'; readonly outcome: ImportOutcome }
  | { readonly kind: 'stopped' }
  | { readonly kind: 'refused'; readonly code: Code; readonly message: string };
