/** A cause that a finding may have, and how likely it is. */
export interface Candidate {
  readonly cause: string;
  readonly probability: number;
}
