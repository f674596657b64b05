/** What the intake has counted since the start, for the metrics. */
export interface IntakeCounters {
  /** Messages, and the readings in them, that are committed. */
  messages: number;
  readings: number;
  /** Entries in the quarantine, by reason. */
  refused: Map<string, number>;
  commits: number;
  /** Messages of the latest commit, and of the largest. */
  latestCommitMessages: number;
  largestCommitMessages: number;
  /** How long commits took: of the latest, the longest and all together, ms. */
  latestCommitMs: number;
  longestCommitMs: number;
  totalCommitMs: number;
}

export function newIntakeCounters(): IntakeCounters {
  return {
    messages: 0,
    readings: 0,
    refused: new Map(),
    commits: 0,
    latestCommitMessages: 0,
    largestCommitMessages: 0,
    latestCommitMs: 0,
    longestCommitMs: 0,
    totalCommitMs: 0,
  };
}
