/** What a person says of a finding afterwards. */
export const JUDGED = ['right', 'wrong', 'unsure'] as const;
export type Judged = (typeof JUDGED)[number];

/** A person's word on one finding, which beats what the log says of it. */
export interface Judgement {
  readonly gun: string | null;
  readonly cause: string;
  /** Epoch ms, as in the finding. */
  readonly raised: number;
  readonly judged: Judged;
  readonly reason: string;
}

/** Runs of a gun that start within [from, to) and are not to be learnt from or judged. Epoch ms. */
export interface ExcludedSpan {
  readonly gun: string;
  readonly from: number;
  readonly to: number;
  readonly reason: string;
}

/** Key under which a finding and the word on it meet. */
export function judgementKey(gun: string | null, cause: string, raised: number): string {
  return `${gun ?? ''} ${cause} ${raised}`;
}
