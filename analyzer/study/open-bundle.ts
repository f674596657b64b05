import type { StudyBundle } from './study-bundle.ts';
import type { StudyAnswer, StudyProgress } from './study-messages.ts';
import { studyReport } from './study-report.ts';
import { studyAll } from './trade-off.ts';

/**
 * Asks a bundle's question again, and says whether the answer is the same to the last byte.
 *
 * @param name what people call its file
 * @returns a generator of progress; see `replayHistory`
 */
export function* openBundle(bundle: StudyBundle, name: string): Generator<StudyProgress, StudyAnswer> {
  const { history, present, proposed, from, to } = bundle;
  for (const steps = studyAll(history, [present, proposed], { from, to }); ; ) {
    const step = steps.next();
    if (!step.done) {
      yield { stage: 'trying', share: step.value.share, points: [] };
      continue;
    }
    const report = studyReport(history, step.value[0]!, step.value[1]!);
    return { kind: 'open', name, plant: history.plant, report, isSame: JSON.stringify(report) === bundle.report };
  }
}
