import type { CommitGroup, CommitOutcome, Writer } from '../../../collector/store/store.ts';

interface Pending {
  group: CommitGroup;
  resolve: (outcome: CommitOutcome) => void;
  reject: (error: Error) => void;
}

/** A writer whose commits end when, and as, the test says: it stands for a disk. */
export class GatedWriter implements Pick<Writer, 'commit'> {
  readonly committed: CommitGroup[] = [];
  #pending: Pending[] = [];
  #seq = 0;
  #arrival: (() => void) | null = null;

  get pending(): number {
    return this.#pending.length;
  }

  commit(group: CommitGroup): Promise<CommitOutcome> {
    return new Promise((resolve, reject) => {
      this.#pending.push({ group, resolve, reject });
      this.#arrival?.();
    });
  }

  /** Resolves when `count` commits wait. */
  async reached(count: number): Promise<void> {
    while (this.#pending.length < count) await new Promise<void>((resolve) => (this.#arrival = resolve));
  }

  /** Makes the commit at `index` of those that wait durable. */
  succeed(index = 0): void {
    const [pending] = this.#pending.splice(index, 1);
    if (pending === undefined) throw new Error('no commit waits');
    this.committed.push(pending.group);
    const stations = (pending.group.packs ?? []).map(({ station, times }) => ({
      station,
      minTime: Math.min(...times),
      maxTime: Math.max(...times),
      readings: times.length,
    }));
    pending.resolve({ seq: ++this.#seq, stations });
  }

  fail(error: Error, index = 0): void {
    const [pending] = this.#pending.splice(index, 1);
    if (pending === undefined) throw new Error('no commit waits');
    pending.reject(error);
  }
}
