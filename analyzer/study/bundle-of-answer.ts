import { AppError } from '../../collector/contract/index.ts';
import { finish } from '../finish.ts';
import type { SiteHistory } from './history.ts';
import type { StudyBundle } from './study-bundle.ts';
import type { AnsweredStudy } from './study-messages.ts';
import { studyReport } from './study-report.ts';
import { studyAll } from './trade-off.ts';

/**
 * The bundle of a comparison that was answered on another state of the history: it is asked once more, because a bundle has to hold
 * what its answer was made of.
 *
 * @throws {AppError} STUDY_UNUSABLE: the history answers otherwise by now
 */
export function bundleOfAnswer(history: SiteHistory, { question, report }: AnsweredStudy): StudyBundle {
  const { present, proposed } = question;
  const span = { from: Date.parse(report.from), to: Date.parse(report.to) };
  const [before, after] = finish(studyAll(history, [present, proposed], span));
  const text = JSON.stringify(studyReport(history, before!, after!));
  if (text !== JSON.stringify(report))
    throw new AppError(
      'STUDY_UNUSABLE',
      'readings, log entries or judgements came in since this answer, and it would be another one now: compare again, then save',
    );
  return { history, ...span, present, proposed, report: text };
}
