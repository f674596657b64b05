import type { Pack } from '../contract/frames.ts';
import type { ClockCorrection } from './clock-spans.ts';
import type { RetentionRules } from './retention-rules.ts';

/** A message, or part of one, that was refused; kept in the quarantine. */
export interface Refusal {
  readonly receivedAt: number;
  readonly topic: string;
  /** Short stable word, e.g. `not-json`; counted by it. */
  readonly reason: string;
  /** One line for people: where, what was found, what was expected. */
  readonly detail: string;
  /** As received; kept up to a limit, with its full length. */
  readonly payload: Uint8Array;
}

export interface OnlineState {
  readonly station: string;
  readonly online: boolean;
  /** Receiver's clock. */
  readonly at: number;
}

/** A retained message of the broker; an empty payload removes the topic. */
export interface RetainedMessage {
  readonly topic: string;
  readonly payload: Uint8Array;
  readonly qos: 0 | 1;
}

/** A pack of which it is not known yet by how much its station's clock is off: readers see it, the analysis does not. */
export interface WaitingPack {
  /** Made by whoever commits it; never again while the writer runs. */
  readonly id: number;
  /** As it is read meanwhile. */
  readonly pack: Pack;
  /** What was taken off its station's own times, ms. */
  readonly offsetMs: number;
  /** Receiver's clock, epoch ms. */
  readonly receivedAt: number;
  /** The station was heard at its times before. */
  readonly isSecond: boolean;
}

/** All that must be on disk before the messages that it came from are acknowledged. Every part may be absent. */
export interface CommitGroup {
  readonly packs?: readonly Pack[];
  readonly refusals?: readonly Refusal[];
  readonly online?: readonly OnlineState[];
  readonly retained?: readonly RetainedMessage[];
  /** What was done to the times of the packs. */
  readonly corrections?: readonly ClockCorrection[];
  /** Kept for now, until its id is among the `settles` of this or a later group, whose `packs` have its readings then. */
  readonly waits?: readonly WaitingPack[];
  readonly settles?: readonly number[];
  /** Added to the named counters. */
  readonly counters?: Readonly<Record<string, number>>;
}

/** What one station got by a commit: times of the oldest and newest reading, and how many were received. */
export interface StationCommit {
  readonly station: string;
  readonly minTime: number;
  readonly maxTime: number;
  readonly readings: number;
}

/** Of the whole transaction, which may hold more than the caller's group: the same object for all in it. */
export interface CommitOutcome {
  /** Number of this transaction; ascending while the writer runs. */
  readonly seq: number;
  readonly stations: readonly StationCommit[];
}

/** The one writer of readings of a data folder. */
export interface Writer {
  /**
   * Makes a group durable. Call it as often as you like, also with a single pack: all that is handed over while
   * a transaction is being written shares the next one. A group is taken whole or not at all.
   *
   * @throws {AppError} DISK_FULL or STORE_UNUSABLE; nothing of the group was stored then, later commits may succeed
   * @throws {RangeError} a value or time is not finite, or a channel or string index does not exist: our own mistake
   */
  commit(group: CommitGroup): Promise<CommitOutcome>;
  /** Bytes handed over and not yet durable: what a caller limits. */
  readonly pendingBytes: number;
  /** Turns the whole tail into chunks; resolves when that is done. Commits go on meanwhile. */
  settle(): Promise<void>;
  /** Takes away what is older than it has to be kept; resolves when that is done. Commits go on meanwhile. */
  retain(rules: RetentionRules, now: number): Promise<void>;
  /** Commits what is pending, ends the thread and releases the folder. May be called twice. */
  stop(): Promise<void>;
  /** Rejects when the thread dies by itself, resolves after `stop()`. */
  readonly ended: Promise<void>;
}
