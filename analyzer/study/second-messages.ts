import type { Settings } from '../../collector/contract/index.ts';
import type { SharedHistory } from './shared-history.ts';
import type { Span, Study } from './study.ts';

export type SecondOrder =
  /** What is asked from now on is asked of this history. */
  | { readonly kind: 'history'; readonly shared: SharedHistory }
  | { readonly kind: 'ask'; readonly id: number; readonly settings: readonly Settings[]; readonly span: Span }
  | { readonly kind: 'cancel'; readonly id: number };

/** How far it has come, with the studies that were finished since the last news, by their places. */
export interface SecondNews {
  readonly id: number;
  readonly share: number;
  readonly studies: readonly (readonly [number, Study])[];
}
