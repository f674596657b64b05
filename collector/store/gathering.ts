import { BatchBuilder, checkPack } from './batch-builder.ts';
import { cutRefusal } from './quarantine.ts';
import type { CommitGroup, CommitOutcome, StationCommit } from './store.ts';
import type { CommitRecords } from './writer-messages.ts';

/** Where a pack that waits is built before it is copied out; one at a time. */
const ROOM_FOR_ONE = new ArrayBuffer(16 * 1024);

/** What will be written in one transaction, and the promise that all who gave to it wait for. */
export class Gathering {
  readonly outcome: Promise<CommitOutcome>;
  readonly #batch: BatchBuilder;
  #records: CommitRecords | null = null;
  #recordBytes = 0;
  #stations: StationCommit[] = [];
  #resolve: (outcome: CommitOutcome) => void = () => undefined;
  #reject: (error: Error) => void = () => undefined;

  /** @param room memory for the batch, when there is some that nobody needs any more */
  constructor(room: ArrayBuffer | null = null) {
    this.#batch = new BatchBuilder(room);
    this.outcome = new Promise((resolve, reject) => {
      this.#resolve = resolve;
      this.#reject = reject;
    });
  }

  get bytes(): number {
    return this.#batch.byteLength + this.#recordBytes;
  }

  /** @throws {RangeError} from checkPack; nothing of the group was added then */
  add(group: CommitGroup): void {
    if (group.packs) for (const pack of group.packs) checkPack(pack);
    for (const { pack } of group.waits ?? []) checkPack(pack);
    if (group.packs) for (const pack of group.packs) this.#batch.add(pack);
    if (
      group.refusals?.length ||
      group.online?.length ||
      group.retained?.length ||
      group.corrections?.length ||
      group.waits?.length ||
      group.settles?.length ||
      group.counters
    )
      this.#addRecords(group);
  }

  /** What goes to the thread. The batch's memory goes with it: nothing can be added any more. */
  take(): { batch: Uint8Array<ArrayBuffer> | null; records: CommitRecords | null } {
    this.#stations = this.#batch.stations();
    return { batch: this.#batch.packs > 0 ? this.#batch.bytes() : null, records: this.#records };
  }

  resolve(seq: number): void {
    this.#resolve({ seq, stations: this.#stations });
  }

  reject(error: Error): void {
    this.#reject(error);
  }

  #addRecords(group: CommitGroup): void {
    const {
      refusals = [],
      online = [],
      retained = [],
      corrections = [],
      waits = [],
      settles = [],
      counters = {},
    } = group;
    this.#records ??= { refusals: [], online: [], retained: [], corrections: [], waits: [], settles: [], counters: {} };
    const records = this.#records;
    for (const refusal of refusals) {
      const cut = cutRefusal(refusal);
      records.refusals.push(cut);
      this.#recordBytes += cut.payload.length + 2 * (cut.detail.length + cut.topic.length);
    }
    for (const { station, online: up, at } of online) records.online.push({ station, online: up, at });
    for (const { topic, payload, qos } of retained) {
      // In memory of its own: a view would take all of a socket's buffer along to the other thread.
      records.retained.push({ topic, payload: Uint8Array.from(payload), qos });
      this.#recordBytes += payload.length;
    }
    records.corrections.push(...corrections);
    for (const { pack, ...how } of waits) {
      const batch = new BatchBuilder(ROOM_FOR_ONE);
      batch.add(pack);
      const body = Uint8Array.from(batch.bytes());
      records.waits.push({ ...how, body });
      this.#recordBytes += body.length;
    }
    records.settles.push(...settles);
    for (const [name, value] of Object.entries(counters))
      records.counters[name] = (records.counters[name] ?? 0) + value;
  }
}
