import { isDeepStrictEqual } from 'node:util';
import { knownPowders, startStudies, versionsHere } from '../../analyzer/index.ts';
import { AppError, formatTime, type Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { type Clock, StudyDesk, type TuningSource } from '../server/index.ts';
import { studyFolder } from './study-folder.ts';

export interface TuningOptions {
  readonly store: Store;
  readonly dir: string;
  readonly plant: Plant;
  /** Longest study bundle that is taken, and longest piece of it that one request may bring, bytes. */
  readonly maxBundleBytes: number;
  readonly maxPieceBytes: number;
  /** Wall clock and timers. */
  readonly clock: Pick<Clock, 'now' | 'after'>;
  /** Tells the analysis that settings or exclusions have changed. */
  readonly changed: () => void;
}

/** The engineer's side of the service, out of the store and a thread that tries settings. */
export function tuning({
  store,
  dir,
  plant,
  maxBundleBytes,
  maxPieceBytes,
  clock,
  changed,
}: TuningOptions): TuningSource & { stop(): Promise<void> } {
  const { now } = clock;
  const studies = startStudies({ dir, plant, versions: versionsHere() });
  return {
    versions: () => store.settings.list(),
    powders: () => knownPowders(plant, store.states),
    adopt(settings, { who, why, expected, after }) {
      const added = store.transaction(() => {
        const current = store.settings.list().at(-1)!;
        if (current.version !== after)
          throw new AppError(
            'EDITED_MEANWHILE',
            `version ${current.version} was adopted by ${current.who} at ${formatTime(current.recordedAt)} (${current.why || 'no reason given'}), after version ${after} that you changed: look at it first`,
          );
        if (isDeepStrictEqual(settings, current.settings))
          throw new AppError('BODY_INVALID', `the settings are those of version ${after}: expected a change`);
        const at = now();
        return store.settings.add(settings, {
          ...{ adopted: Math.max(at, current.adopted), recordedAt: at, who, why, expected },
        });
      });
      changed();
      return added;
    },
    studies: new StudyDesk(studies, studyFolder(dir, maxBundleBytes, maxPieceBytes, clock)),
    judgements: () => store.truths.judgements(),
    judge(word, who) {
      const isKnown = store.findings
        .list({ withdrawn: true })
        .some(
          ({ finding }) =>
            finding.gun === word.gun && finding.cause === word.cause && Date.parse(finding.raised) === word.raised,
        );
      if (!isKnown)
        throw new AppError(
          'NOT_FOUND',
          `no finding ${word.cause} of ${word.gun ?? 'several guns'} was raised at ${formatTime(word.raised)}`,
        );
      return store.truths.judge(word, { at: now(), who });
    },
    exclusions: () => store.truths.exclusions({ undone: true }),
    exclude(span, who) {
      const kept = store.truths.exclude(span, { at: now(), who });
      changed();
      return kept;
    },
    undoExclusion(id, who) {
      if (!store.truths.undoExclusion(id, { at: now(), who }))
        throw new AppError('NOT_FOUND', `there is no exclusion ${id} that still holds`);
      changed();
    },
    stop: () => studies.stop(),
  };
}
