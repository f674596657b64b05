import type { ImportPreview, OfferedMapping } from '../../../collector/index.ts';
import type { Import } from '../../server/import-model.ts';

export type { Import };

/** What the API offers for a file. */
export interface Offer {
  readonly offered: OfferedMapping;
  readonly kept: {
    readonly mapping: unknown;
    readonly file: string;
    readonly who: string;
    readonly usedAt: number;
  } | null;
}

/** A refusal as the API tells it. */
export interface Refusal {
  readonly line: number;
  readonly says: string;
  readonly channel: string | null;
}

export type Preview = Omit<ImportPreview, 'rows'> & {
  readonly rows: readonly (Omit<ImportPreview['rows'][number], 'refusals'> & {
    readonly refusals: readonly Refusal[];
  })[];
};
