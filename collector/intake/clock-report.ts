/** Readings of a station whose time was too far ahead of the receiver's clock; they are in the quarantine. */
export interface ClockReport {
  readonly station: string;
  /** Receiver's clock, epoch ms. */
  readonly receivedAt: number;
  /** The first such time, epoch ms. */
  readonly claimedTime: number;
  readonly count: number;
}
