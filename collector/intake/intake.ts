import { type Delivery, type DeliverySink, LONG_BYTES } from '../broker/delivery.ts';
import type { Log } from '../log.ts';
import type { CommitOutcome, Writer } from '../store/store.ts';
import { CommitLine } from './commit-line.ts';
import { Group } from './group.ts';
import { type IntakeCounters, newIntakeCounters } from './intake-counters.ts';
import { StationLatest } from './latest.ts';
import type { LongPacks } from './long-packs.ts';
import { keepCorrected, type ReceptionRules, receive, refuse, reportCorrected } from './reception.ts';

export interface IntakeOptions {
  readonly rules: ReceptionRules;
  readonly writer: Pick<Writer, 'commit'>;
  /** Decodes what is long beside the main thread. */
  readonly longPacks: Pick<LongPacks, 'decode' | 'stop'>;
  /** Payload bytes that may wait for their commit. */
  readonly maxPendingBytes: number;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  /** Monotonic clock, ms. */
  readonly clock: () => number;
  readonly log: Log;
  /** A group is durable and its messages are settled. */
  readonly onDurable: (group: Group, outcome: CommitOutcome) => void;
  /** There is room again after `saturated`. */
  readonly onRoom: () => void;
}

/**
 * From a message to its acknowledgement: decode, check, commit, and only then settle. What arrives in one turn of
 * the event loop is one group; the writer puts all groups that wait into one transaction.
 */
export class Intake implements DeliverySink {
  readonly counters: IntakeCounters = newIntakeCounters();
  readonly #options: IntakeOptions;
  readonly #line: CommitLine;
  readonly #latest = new Map<string, StationLatest>();
  #group: Group | null = null;
  #pendingBytes = 0;
  #wasSaturated = false;
  #latestSeq = -1;
  readonly #decoding = new Set<Promise<void>>();

  constructor(options: IntakeOptions) {
    this.#options = options;
    for (const station of options.rules.stations) this.#latest.set(station, new StationLatest());
    this.#line = new CommitLine({
      writer: options.writer,
      clock: options.clock,
      log: options.log,
      onDurable: (group, outcome, durationMs) => this.#durable(group, outcome, durationMs),
      onRecovered: () => this.#checkRoom(),
    });
  }

  /** True while too much waits, and while nothing can be stored. */
  get saturated(): boolean {
    const saturated = this.#pendingBytes >= this.#options.maxPendingBytes || this.#line.failing;
    if (saturated) this.#wasSaturated = true;
    return saturated;
  }

  /** False while the store refuses what is given to it. */
  get storing(): boolean {
    return !this.#line.failing;
  }

  get pendingBytes(): number {
    return this.#pendingBytes;
  }

  latest(station: string): StationLatest | null {
    return this.#latest.get(station) ?? null;
  }

  take(delivery: Delivery): void {
    this.#pendingBytes += delivery.payload.length;
    if (delivery.topic.kind === 'readings' && delivery.payload.length >= LONG_BYTES) this.#takeLong(delivery);
    else this.#add(delivery, this.#options.rules);
  }

  /** Resolves when all that was taken is durable, or cannot be made so now. */
  async drained(): Promise<void> {
    await Promise.all(this.#decoding);
    this.#close();
    await this.#line.drained();
  }

  /** Packs that wait for a clock to show itself, and to which nothing has been added, become readings. */
  settleClocks(): void {
    const expired = this.#options.rules.clocks.expire(this.#options.now());
    if (expired.length === 0) return;
    const group = this.#group ?? this.#open();
    for (const corrected of expired) {
      keepCorrected(group, corrected);
      reportCorrected(group, corrected);
    }
  }

  stop(): Promise<void> {
    this.#line.stop();
    return this.#options.longPacks.stop();
  }

  #add(delivery: Delivery, rules: ReceptionRules): void {
    const group = this.#group ?? this.#open();
    const accepted = this.#receive(group, delivery, rules);
    group.deliveries.push(delivery);
    group.accepted.push(accepted);
    group.bytes += delivery.payload.length;
  }

  /** Nothing overtakes it: a client's messages behind one that is so long wait in its socket. */
  #takeLong(delivery: Delivery): void {
    const { rules, longPacks, now, log } = this.#options;
    const { topic, payload } = delivery;
    const decoding = longPacks.decode(payload, topic.station, now()).then(
      (decoded) => this.#add(delivery, { ...rules, decode: () => decoded }),
      (error: unknown) => {
        log.error(
          { error: String(error), topic: topic.name },
          'the thread for long packs has ended; this one is decoded without it',
        );
        this.#add(delivery, rules);
      },
    );
    this.#decoding.add(decoding);
    void decoding.then(() => this.#decoding.delete(decoding));
  }

  #open(): Group {
    const group = new Group(this.#options.now());
    this.#group = group;
    setImmediate(() => this.#close());
    return group;
  }

  /** A fault of our own must not let one message, sent again and again, stop the intake: it is kept like a refusal. */
  #receive(group: Group, delivery: Delivery, rules: ReceptionRules): boolean {
    try {
      return receive(rules, group, delivery);
    } catch (error) {
      this.#options.log.error({ error, topic: delivery.topic.name }, 'a message met a fault of our own');
      return refuse(group, delivery, 'fault-of-ours', error instanceof Error ? error.message : String(error));
    }
  }

  #close(): void {
    const group = this.#group;
    if (group === null) return;
    this.#group = null;
    this.#line.add(group);
  }

  #durable(group: Group, outcome: CommitOutcome, durationMs: number): void {
    this.#count(group, outcome, durationMs);
    for (const pack of group.packs) this.#latest.get(pack.station)?.take(pack, group.receivedAt);
    for (const { pack } of group.waits ?? []) this.#latest.get(pack.station)?.take(pack, group.receivedAt);
    const { deliveries, accepted } = group;
    for (let index = 0; index < deliveries.length; index++) {
      const delivery = deliveries[index]!;
      delivery.origin.settled(delivery, accepted[index]!);
    }
    this.#pendingBytes -= group.bytes;
    this.#options.onDurable(group, outcome);
    this.#checkRoom();
  }

  #checkRoom(): void {
    if (!this.#wasSaturated || this.#line.failing || 2 * this.#pendingBytes > this.#options.maxPendingBytes) return;
    this.#wasSaturated = false;
    this.#options.onRoom();
  }

  #count(group: Group, { seq }: CommitOutcome, durationMs: number): void {
    const { counters } = this;
    const messages = group.deliveries.length;
    counters.messages += messages;
    counters.readings += group.readings;
    for (const { reason } of group.refusals) counters.refused.set(reason, (counters.refused.get(reason) ?? 0) + 1);
    // Groups that shared a transaction share its number.
    const another = seq !== this.#latestSeq;
    this.#latestSeq = seq;
    if (another) counters.commits++;
    counters.latestCommitMessages = messages + (another ? 0 : counters.latestCommitMessages);
    counters.largestCommitMessages = Math.max(counters.largestCommitMessages, counters.latestCommitMessages);
    counters.latestCommitMs = durationMs;
    counters.longestCommitMs = Math.max(counters.longestCommitMs, durationMs);
    if (another) counters.totalCommitMs += durationMs;
  }
}
