import type { Tunables } from '../../collector/contract/index.ts';

/** A statistical parameter behind the settings: read only, since it follows from them or is fixed in the method. */
export interface Parameter {
  /** The setting that it stands behind; null for what no setting moves. */
  readonly setting: keyof Tunables | null;
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** What it does, in the trade's terms. */
  readonly what: string;
  /** True where it moves with the setting. */
  readonly follows: boolean;
  readonly source: string;
}

/** Sources that are named often. */
export const OWN = 'Own choice';

/** A difference in ln as per cent. */
export const percentOf = (ln: number): number => 100 * Math.expm1(ln);
