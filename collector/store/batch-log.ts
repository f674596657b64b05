import { EmbeddedBrokerRecords } from './broker-records.ts';
import type { CheckpointBeside } from './checkpoint-beside.ts';
import { EmbeddedClockSpans } from './clock-spans.ts';
import { storedCommit } from './commit-mark.ts';
import { addCounters } from './counters.ts';
import { setAsideRefusals } from './damaged-refusals.ts';
import { setAsideRuns } from './damaged-runs.ts';
import { setAsideThinned } from './damaged-thinned.ts';
import { EmbeddedQuarantine } from './quarantine.ts';
import { Retention } from './retention.ts';
import type { RetentionRules } from './retention-rules.ts';
import { setAsideAll } from './set-aside.ts';
import type { Sql } from './sql.ts';
import type { DamagedSpan } from './stored-readings.ts';
import { Sweep } from './sweep.ts';
import { WaitingPacksTable } from './waiting-packs-table.ts';
import { WalRoom } from './wal-room.ts';
import type { CommitRecords, WriterData } from './writer-messages.ts';

/**
 * Tail of a station for which its last chunk is worth opening again. Source: own choice: some 60 packs of one frame, so
 * that a frame is written to chunks about five times until its chunk is full.
 */
const STATION_BYTES = 6 * 1024;
/** Pages of the write-ahead log from which they go to the database. Source: own choice: twice SQLite's default. */
const CHECKPOINT_PAGES = 2000;
/**
 * What comes while that is done beside commits is done once more beside them, so often, for the log to begin anew; then the next
 * pages are waited for. Source: own choice: measured, with commits every five milliseconds the second leaves nothing.
 */
const MORE_TIMES = 3;
/**
 * Length of the log from which commits wait for the rest of it to go into the database, pages: where they never pause it would
 * not begin anew, and grow on. Source: own choice, 16 MiB.
 */
const LONGEST_PAGES = 2 * CHECKPOINT_PAGES;

/**
 * Tails that may gather while one becomes chunks at leisure. Source: own choice: 24 MiB, half a million packs, which those who read
 * the tail keep too.
 */
const ROOM = 6;

/** Room for the quarantine, and size of the tail from which it becomes chunks, bytes. */
export type BatchLogLimits = Pick<WriterData, 'quarantineBytes' | 'tailBytes'>;

/** The writing end of the tail: commits, and what has to be done behind them. */
export class BatchLog {
  readonly #sql: Sql;
  readonly #limits: BatchLogLimits;
  readonly #quarantine: EmbeddedQuarantine;
  readonly #broker: EmbeddedBrokerRecords;
  readonly #clocks: EmbeddedClockSpans;
  readonly #waiting: WaitingPacksTable;
  readonly #room: WalRoom;
  readonly #beside: Pick<CheckpointBeside, 'begin' | 'busy' | 'pays'> | null;
  readonly #onDamaged: (spans: readonly DamagedSpan[]) => void;
  #moreTimes = 0;
  #endFrom = LONGEST_PAGES;
  #seq: number;
  #tailBytes: number;
  #sweep: Sweep | null = null;
  #sweepFrom: number;

  /**
   * @param beside brings the log into the database; null: commits wait while that is done here
   * @param onDamaged told what is missing with what had to be set aside
   */
  constructor(
    sql: Sql,
    limits: BatchLogLimits,
    beside: Pick<CheckpointBeside, 'begin' | 'busy' | 'pays'> | null = null,
    onDamaged: (spans: readonly DamagedSpan[]) => void = () => undefined,
  ) {
    this.#onDamaged = onDamaged;
    this.#sql = sql;
    this.#beside = beside;
    this.#limits = limits;
    this.#sweepFrom = limits.tailBytes;
    this.#quarantine = new EmbeddedQuarantine(sql);
    this.#broker = new EmbeddedBrokerRecords(sql);
    this.#clocks = new EmbeddedClockSpans(sql);
    this.#waiting = new WaitingPacksTable(sql);
    this.#room = new WalRoom(sql, LONGEST_PAGES);
    // Checkpoints come behind commits, not within them.
    sql.pragma('wal_autocheckpoint = 0');
    // Never a number again that a station's row names, also when the tail is empty.
    this.#seq = storedCommit(sql);
    this.#takeLeft();
    onDamaged([...setAsideAll(sql), ...setAsideRuns(sql), ...setAsideThinned(sql), ...setAsideRefusals(sql)]);
    this.#tailBytes = this.#measureTail();
  }

  /**
   * Writes one batch and what came with it: one transaction, on disk when the log is synced.
   *
   * @returns number of the commit
   */
  commit(batch: Uint8Array | null, records: CommitRecords | null): number {
    const seq = this.#seq + 1;
    let damaged: readonly DamagedSpan[] = [];
    this.#sql.write(() => {
      if (batch) this.#sql.run('INSERT INTO batch (seq, body) VALUES (?, ?)', seq, batch);
      if (!records) return;
      damaged = this.#quarantine.add(records.refusals, this.#limits.quarantineBytes);
      this.#broker.putOnline(records.online);
      this.#broker.putRetained(records.retained);
      this.#clocks.add(records.corrections);
      this.#waiting.add(records.waits);
      this.#waiting.settle(records.settles);
      addCounters(this.#sql, records.counters);
    });
    if (damaged.length > 0) this.#onDamaged(damaged);
    this.#seq = seq;
    if (batch) this.#tailBytes += batch.length;
    return seq;
  }

  /**
   * Moves some of the tail to chunks when it is long, or in any case when `all` of it is wanted there.
   *
   * @returns true when there is nothing more to do
   */
  tidy(readings: number, all: boolean): boolean {
    if (!this.#sweep) {
      if (all ? this.#tailBytes === 0 : this.#tailBytes < this.#sweepFrom) return true;
      this.#sweep = new Sweep(this.#sql, this.#onDamaged);
    }
    // When much has gathered, the more at a time: the tail must not grow for ever while commits come one upon the other.
    if (this.#sweep.step(readings * Math.max(1, this.urgency))) {
      this.#sweepFrom = Math.max(this.#limits.tailBytes, this.#sweep.stations * STATION_BYTES);
      this.#sweep = null;
      this.#tailBytes = this.#measureTail();
    }
    return false;
  }

  /** What has gathered beyond the size from which the tail becomes chunks, as a share of what may. */
  get urgency(): number {
    return Math.max(0, this.#tailBytes - this.#sweepFrom) / (ROOM * this.#limits.tailBytes);
  }

  /** After a fault: the tail stays as it is, and the next attempt waits until a quarter more has come. */
  abandonSweep(): void {
    this.#sweep = null;
    this.#sweepFrom = Math.max(this.#limits.tailBytes, 1.25 * this.#tailBytes);
  }

  /** Brings the write-ahead log into the database when it has grown; readers that still need it hold nothing up. */
  checkpoint(): void {
    const pages = this.#sql.all<{ log: number; checkpointed: number }>('PRAGMA wal_checkpoint(NOOP)')[0];
    if (!pages) return;
    const waiting = pages.log - pages.checkpointed;
    const beside = this.#beside;
    if (waiting === 0) this.#moreTimes = 0;
    else if (beside === null || (!beside.pays && !beside.busy)) {
      if (waiting >= CHECKPOINT_PAGES) this.#sql.pragma('wal_checkpoint(PASSIVE)');
    } else if (!beside.busy) this.#checkpointBeside(beside, pages.log, waiting);
    this.#room.look(pages.log);
  }

  #checkpointBeside(beside: Pick<CheckpointBeside, 'begin'>, length: number, waiting: number): void {
    // It has begun anew.
    if (length < this.#endFrom - LONGEST_PAGES) this.#endFrom = LONGEST_PAGES;
    if (waiting >= CHECKPOINT_PAGES) this.#moreTimes = MORE_TIMES;
    else if (length >= this.#endFrom) {
      this.#sql.pragma('wal_checkpoint(PASSIVE)');
      this.#endFrom = length + CHECKPOINT_PAGES;
      return;
    } else if (this.#moreTimes === 0) return;
    else this.#moreTimes--;
    beside.begin();
  }

  /** What takes away old data, to be stepped between commits. */
  retention(rules: RetentionRules, now: number): Retention {
    return new Retention(this.#sql, rules, now);
  }

  close(): void {
    this.#sql.close();
  }

  /** Packs that waited when a service of before ended: nobody knows any more what for. */
  #takeLeft(): void {
    const left = this.#waiting.lost();
    if (left.length === 0) return;
    this.#sql.write(() => {
      for (const { body } of left) this.#sql.run('INSERT INTO batch (seq, body) VALUES (?, ?)', ++this.#seq, body);
      this.#waiting.settle(left.map(({ id }) => id));
    });
  }

  #measureTail(): number {
    return this.#sql.get<{ bytes: number | null }>('SELECT sum(length(body)) AS bytes FROM batch')?.bytes ?? 0;
  }
}
