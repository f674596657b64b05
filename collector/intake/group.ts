import type { Delivery } from '../broker/delivery.ts';
import type { Pack } from '../contract/frames.ts';
import type { Reason } from '../decode/reasons.ts';
import type { ClockCorrection } from '../store/clock-spans.ts';
import type { CommitGroup, OnlineState, Refusal, RetainedMessage, WaitingPack } from '../store/store.ts';
import type { ClockReport } from './clock-report.ts';

/** What came in one turn of the event loop and is committed together. */
export class Group implements CommitGroup {
  readonly receivedAt: number;
  readonly packs: Pack[] = [];
  readonly refusals: Refusal[] = [];
  readonly online: OnlineState[] = [];
  /** What has to be known again after a restart; absent in nearly all groups. */
  retained?: RetainedMessage[];
  readonly clockReports: ClockReport[] = [];
  /** What was done to the times of packs; absent in nearly all groups. */
  corrections?: ClockCorrection[];
  /** Packs that wait for their station's clock, and those that waited; absent in nearly all groups. */
  waits?: WaitingPack[];
  settles?: number[];
  /** Messages to settle once this is durable, in the order taken, and whether each was accepted. */
  readonly deliveries: Delivery[] = [];
  readonly accepted: boolean[] = [];
  /** Payload bytes of the deliveries. */
  bytes = 0;
  readings = 0;
  /** Counts that must be as durable as the readings; absent in nearly all groups. */
  counters?: Record<string, number>;

  /** @param receivedAt receiver's clock, epoch ms */
  constructor(receivedAt: number) {
    this.receivedAt = receivedAt;
  }

  count(name: string, more: number): void {
    this.counters ??= {};
    this.counters[name] = (this.counters[name] ?? 0) + more;
  }

  /** Turns the whole group into entries for the quarantine, payloads kept. */
  refuseAll(reason: Reason, detail: string): void {
    for (const list of [this.packs, this.refusals, this.online, this.clockReports]) list.length = 0;
    this.readings = 0;
    delete this.counters;
    delete this.corrections;
    delete this.waits;
    delete this.settles;
    delete this.retained;
    this.accepted.fill(false);
    for (const { topic, payload } of this.deliveries)
      this.refusals.push({ receivedAt: this.receivedAt, topic: topic.name, reason, detail, payload });
  }
}
