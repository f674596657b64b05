import { Gathering } from './gathering.ts';
import type { CommitGroup, CommitOutcome, Writer } from './store.ts';

/** Does with groups what a writer does up to the thread that commits, and keeps nothing of them: for a warm-up. */
export class UnkeptWriter implements Pick<Writer, 'commit'> {
  #seq = 0;
  #spare: ArrayBuffer | null = null;
  /** Kept, so that V8 keeps what it has compiled for such. */
  newest: Gathering | null = null;

  commit(group: CommitGroup): Promise<CommitOutcome> {
    const gathering = new Gathering(this.#spare);
    this.newest = gathering;
    gathering.add(group);
    this.#spare = gathering.take().batch?.buffer ?? null;
    gathering.resolve(++this.#seq);
    return gathering.outcome;
  }
}
