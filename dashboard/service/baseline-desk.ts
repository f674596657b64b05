import { type GunView, knownSpan, TICK_MS, undecidedChanges } from '../../analyzer/index.ts';
import { AppError, formatTime, isSameChange, mayBeDoneWithin, type Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import type { BaselineSource, OfferedChange } from '../server/index.ts';
import { ONCE_WITHIN_MS } from './log-add.ts';

export interface BaselineDeskOptions {
  readonly store: Store;
  readonly plant: Plant;
  readonly views: () => readonly GunView[];
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  /** Tells the analysis that words or the log have changed. */
  readonly changed: () => void;
  /** What writes the log: `api` or `cli`. */
  readonly source: string;
}

/** What people say of baselines, over a store. */
export function baselineDesk({ store, plant, views, now, changed, source }: BaselineDeskOptions): BaselineSource {
  /** Reading time from which a decision of now can hold: no later than the newest reading, for nothing is looked at beyond it. */
  const decidedNow = (): number => {
    const newest = Math.max(0, ...store.readings.stations().map(({ lastTime }) => lastTime));
    return Math.floor(Math.min(now(), newest) / TICK_MS) * TICK_MS;
  };
  const offered = (): OfferedChange[] => {
    const suspected = views().flatMap(({ id, silentChanges = [] }) =>
      silentChanges.map((change) => ({ gun: id, ...change })),
    );
    return undecidedChanges(suspected, store.log.list(), store.baselines.dismissals()).sort(
      (left, right) => right.time - left.time,
    );
  };
  const find = (
    asked: Parameters<BaselineSource['dismiss']>[0] | Parameters<BaselineSource['confirm']>[0],
  ): OfferedChange => {
    const found = offered().find((one) => isSameChange(one, asked));
    if (found === undefined)
      throw new AppError(
        'NOT_FOUND',
        `no change of ${asked.part} on ${asked.gun} at ${formatTime(asked.time)} waits for a word: it was confirmed or dismissed, or the air no longer speaks for it`,
      );
    return found;
  };
  return {
    relearnings: () => store.baselines.relearnings(),
    relearn({ gun, from, reason }, who) {
      const refuse = (field: string, detail: string): AppError => new AppError('BODY_INVALID', `#/${field}: ${detail}`);
      if (!plant.guns.some(({ id }) => id === gun))
        throw refuse(
          'gun',
          `found "${gun}", expected a gun of the plant: ${plant.guns.map(({ id }) => id).join(', ')}`,
        );
      const known = knownSpan(store, gun);
      if (known === null) throw refuse('gun', `${gun} has no readings yet: there is nothing to learn from`);
      const decided = decidedNow();
      if (from < known.from || from > Math.min(decided, known.to))
        throw refuse(
          'from',
          `found ${formatTime(from)}, expected a time between the gun's first reading (${formatTime(known.from)}) and its newest (${formatTime(Math.min(decided, known.to))})`,
        );
      const kept = store.baselines.relearn({ gun, from, decided, reason }, { at: now(), who });
      changed();
      return kept;
    },
    undoRelearning(id, who) {
      const one = store.baselines.relearnings().find((kept) => kept.id === id);
      const undone = Math.max(one?.decided ?? 0, decidedNow());
      if (!store.baselines.undoRelearning(id, undone, { at: now(), who }))
        throw new AppError('NOT_FOUND', `there is no baseline learnt anew by number ${id} that still holds`);
      changed();
    },
    offered,
    dismissals: () => store.baselines.dismissals().reverse(),
    confirm(asked, who) {
      const { gun, part, time, noticed } = find(asked);
      const { doneAt, found, note } = asked;
      const at = doneAt ?? time;
      const [first, last] = mayBeDoneWithin({ time, noticed });
      if (at < first || at > Math.min(last, now()))
        throw new AppError(
          'BODY_INVALID',
          `#/doneAt: found ${formatTime(at)}, expected a time from ${formatTime(first)} to ${formatTime(Math.min(last, now()))}: the air shows the change at ${formatTime(time)}, and it was noticed at ${formatTime(noticed)}`,
        );
      const said = note === '' ? 'confirmed: seen in the air, logged afterwards' : note;
      const { entry } = store.log.add(
        { time: at, gun, part, action: 'replaced', found, note: said },
        { recordedAt: now(), source, who, onceWithinMs: ONCE_WITHIN_MS },
      );
      changed();
      return entry;
    },
    dismiss(asked, who) {
      const { gun, part, time } = find(asked);
      const kept = store.baselines.dismiss({ gun, part, time, reason: asked.reason }, { at: now(), who });
      changed();
      return kept;
    },
    undoDismissal(id, who) {
      if (!store.baselines.undoDismissal(id, { at: now(), who }))
        throw new AppError('NOT_FOUND', `there is no dismissal ${id} that still holds`);
      changed();
    },
  };
}
