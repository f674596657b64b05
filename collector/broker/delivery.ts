import type { Loan } from './burden.ts';
import type { Topic } from './topics.ts';

/**
 * Payload with which the sink may take its time, bytes: what the client sends behind it waits until it is settled, so that
 * nothing overtakes it. Source: own choice: some 2000 records, which take a few milliseconds to decode; 8 MiB take up to
 * half a second, in which nobody else would be acknowledged.
 */
export const LONG_BYTES = 128 * 1024;

/** A PUBLISH below the root, on its way to a commit. */
export interface Delivery {
  readonly topic: Topic;
  /** By what it was let in before it was judged; null where nothing asks. */
  readonly loan: Loan | null;
  /** A view of the bytes received: valid until settled. */
  readonly payload: Buffer;
  readonly clientId: string;
  readonly origin: DeliveryOrigin;
  /** 0 when no PUBACK is owed. */
  readonly packetId: number;
}

/** Whoever handed a delivery over and learns of its end. */
export interface DeliveryOrigin {
  /**
   * The delivery is durable: its content (`accepted`), or its entry in the quarantine. Called once for each, in the order
   * taken. Until then it is not acknowledged.
   */
  settled(delivery: Delivery, accepted: boolean): void;
}

/** Where deliveries go: the intake. */
export interface DeliverySink {
  /** Takes a delivery over; never throws and never refuses. */
  take(delivery: Delivery): void;
  /** True while more than is allowed waits; readers stop until `resume` of the broker is called. */
  readonly saturated: boolean;
}
