/** Who changes something, for the audit trail. */
export interface Actor {
  /** Name of a person or program. */
  readonly who: string;
  /** Where from: an address, or `command line`. */
  readonly origin: string;
  /** Wall clock, epoch ms. */
  readonly now: number;
}
