/** When and whether an insert was flagged. */
export interface LifeOutcome {
  readonly gun: string;
  readonly origin: 'logged' | 'fitted-at-start' | 'unlogged';
  /** Share of the wear limit at the first finding on this insert; null when it was never flagged. */
  readonly flaggedAt: number | null;
}

/** Whether and how a fault was found. */
export interface FaultOutcome {
  readonly id: string;
  readonly cause: string;
  readonly shape: 'step' | 'ramp' | 'span';
  readonly size: number;
  readonly sprayHours: number;
  /** True when the gun has the channels that show this fault, and the ripple channel. */
  readonly visible: boolean;
  readonly ripple: boolean;
  /** Cause of the first finding about it; null when there was none. */
  readonly found: string | null;
  /** Its category. */
  readonly category: string | null;
  /** Place of the true cause among the candidates when raised, from 1; null when not named. */
  readonly rank: number | null;
  /** Spray hours from onset to the first finding. */
  readonly delay: number | null;
  /** For ramps that reached 70 % of their limit: found before that. */
  readonly before70: boolean | null;
}

/** One finding's stated probability and whether it was right. */
export interface FindingOutcome {
  readonly cause: string;
  readonly probability: number;
  readonly right: boolean;
  /** Nothing was wrong that it could be about. */
  readonly isFalse: boolean;
  /** Share of the wear limit at which a finding on an insert was raised. */
  readonly share: number | null;
  /** It is on an insert that had worn by what is worth a visit. */
  readonly worn: boolean;
}

/** A forecast beside what was left in truth, as shares of the insert's life. */
export interface ForecastOutcome {
  readonly life: string;
  readonly inside: boolean;
  readonly error: number;
  readonly width: number;
}

/** All that one hall contributes to the measures. */
export interface CaseScore {
  readonly scenario: string;
  readonly seed: number;
  readonly sprayHours: number;
  /** Gun-years of calendar time. */
  readonly gunYears: number;
  readonly lives: readonly LifeOutcome[];
  readonly faults: readonly FaultOutcome[];
  readonly traps: readonly { readonly kind: string; readonly raised: boolean }[];
  readonly findings: readonly FindingOutcome[];
  readonly forecasts: readonly ForecastOutcome[];
  /** Right changes with an open finding: cleared within 8 spray hours. */
  readonly clearings: readonly { readonly cause: string; readonly inTime: boolean }[];
  /** What went wrong, one sentence each. */
  readonly misses: readonly string[];
}
