/** A cause that a finding may have, and how likely it is. */
export interface Candidate {
  readonly cause: string;
  readonly probability: number;
}

/** What may be behind a loss that guns of one air line have together with every powder: the air, or damp powder. Source: own choice. */
export const AIR_OF_A_LINE: readonly Candidate[] = [
  { cause: 'supply-air', probability: 0.8 },
  { cause: 'powder', probability: 0.1 },
];
