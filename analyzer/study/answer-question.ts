import { AppError, counted } from '../../collector/contract/index.ts';
import type { SiteHistory } from './history.ts';
import { monthsOf } from './months.ts';
import type { SecondThread } from './second-thread.ts';
import { gridOf } from './settings-grid.ts';
import { spanOfHistory } from './span-of-history.ts';
import type { Span, Study } from './study.ts';
import type { CurvePoint, StudyAnswer, StudyProgress, StudyQuestion } from './study-messages.ts';
import { studyOnTwo } from './study-on-two.ts';
import { studyReport } from './study-report.ts';
import { FEWEST_MONTHS, suggestSettings } from './suggest-settings.ts';
import type { ManyProgress } from './trade-off.ts';

/**
 * Answers a question about settings on a history.
 *
 * @param second takes its part of many settings; null where there is none
 * @returns a generator of progress; see `replayHistory`
 * @throws {AppError} QUERY_INVALID: a span without spray runs, or too short to hold months out
 */
export async function* answerQuestion(
  history: SiteHistory,
  question: StudyQuestion,
  second: SecondThread | null,
): AsyncGenerator<StudyProgress, StudyAnswer> {
  const span = spanOfQuestion(history, question);
  const { present, proposed } = question;
  if (question.kind === 'compare') {
    const [before, after] = yield* told(studyOnTwo(null, history, [present, proposed], span), 2);
    return { kind: 'compare', report: studyReport(history, before!, after!) };
  }
  const months = monthsOf(span, history.plant.site.timezone);
  if (question.kind === 'suggest' && months.length < FEWEST_MONTHS)
    throw new AppError(
      'QUERY_INVALID',
      `found a history of ${counted(months.length, 'calendar month')}, expected at least ${FEWEST_MONTHS}, so that some can be held out`,
    );
  const ends = question.kind === 'curve' ? [present, proposed] : [];
  const studies = yield* told(studyOnTwo(second, history, [...ends, ...gridOf(proposed)], span), ends.length);
  const points = studies.slice(ends.length).map(pointOf);
  if (question.kind === 'curve')
    return { kind: 'curve', present: pointOf(studies[0]!), proposed: pointOf(studies[1]!), points };
  return { kind: 'suggest', suggestion: suggestSettings(studies, months, question.targetPerGunYear ?? 0), points };
}

/** Tells how far several studies have come, with the points of those that are finished but for the first `ends`. */
async function* told(
  steps: AsyncGenerator<ManyProgress, Study[]>,
  ends: number,
): AsyncGenerator<StudyProgress, Study[]> {
  try {
    for (;;) {
      const step = await steps.next();
      if (step.done) return step.value;
      const { share, studies } = step.value;
      yield {
        stage: 'trying',
        share,
        points: studies.slice(ends).flatMap((one) => (one === null ? [] : [pointOf(one)])),
      };
    }
  } finally {
    // Who leaves this leaves that.
    await steps.return([]);
  }
}

const pointOf = ({ settings, total }: Study): CurvePoint => ({ settings, total });

function spanOfQuestion(history: SiteHistory, { from, to }: StudyQuestion): Span {
  const span = spanOfHistory(history, from, to);
  if (typeof span === 'string') throw new AppError('QUERY_INVALID', span);
  return span;
}
