/** How long each kind of data is kept, days; 0 is for ever. */
export interface RetentionRules {
  readonly rawDays: number;
  readonly thinnedDays: number;
  readonly runsDays: number;
  /** Span that thinned readings are kept by, whole minutes. */
  readonly thinnedMinutes: number;
}
