import { AppError, formatTime } from '../../collector/contract/index.ts';
import type { SiteHistory } from './history.ts';
import { monthsOf } from './months.ts';
import { gridOf } from './settings-grid.ts';
import type { Span, Study } from './study.ts';
import type { CurvePoint, StudyAnswer, StudyProgress, StudyQuestion } from './study-messages.ts';
import { studyReport } from './study-report.ts';
import { FEWEST_MONTHS, suggestSettings } from './suggest-settings.ts';
import { type ManyProgress, studyAll } from './trade-off.ts';

/**
 * Answers a question about settings on a history.
 *
 * @returns a generator of progress; see `replayHistory`
 * @throws {AppError} QUERY_INVALID: a span without readings, or too short to hold months out
 */
export function* answerQuestion(history: SiteHistory, question: StudyQuestion): Generator<StudyProgress, StudyAnswer> {
  const span = spanOfQuestion(history, question);
  const { present, proposed } = question;
  if (question.kind === 'compare') {
    const [before, after] = yield* told(studyAll(history, [present, proposed], span), 2);
    return { kind: 'compare', report: studyReport(history, before!, after!) };
  }
  const months = monthsOf(span, history.plant.site.timezone);
  if (question.kind === 'suggest' && months.length < FEWEST_MONTHS)
    throw new AppError(
      'QUERY_INVALID',
      `found readings of ${months.length} calendar ${months.length === 1 ? 'month' : 'months'}, expected at least ${FEWEST_MONTHS}, so that some can be held out`,
    );
  const ends = question.kind === 'curve' ? [present, proposed] : [];
  const studies = yield* told(studyAll(history, [...ends, ...gridOf(proposed)], span), ends.length);
  const points = studies.slice(ends.length).map(pointOf);
  if (question.kind === 'curve')
    return { kind: 'curve', present: pointOf(studies[0]!), proposed: pointOf(studies[1]!), points };
  return { kind: 'suggest', suggestion: suggestSettings(studies, months, question.targetPerGunYear ?? 0), points };
}

/** Tells how far several studies have come, with the points of those that are finished but for the first `ends`. */
function* told(steps: Generator<ManyProgress, Study[]>, ends: number): Generator<StudyProgress, Study[]> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    const { share, studies } = step.value;
    yield {
      stage: 'trying',
      share,
      points: studies.slice(ends).flatMap((one) => (one === null ? [] : [pointOf(one)])),
    };
  }
}

const pointOf = ({ settings, total }: Study): CurvePoint => ({ settings, total });

function spanOfQuestion({ firstTime, upTo }: SiteHistory, { from, to }: StudyQuestion): Span {
  const span = { from: from ?? firstTime, to: to ?? upTo + 1 };
  const known = `there are readings from ${formatTime(firstTime)} to ${formatTime(upTo)}`;
  if (from !== null && to !== null && to <= from)
    throw new AppError(
      'QUERY_INVALID',
      `found an end at ${formatTime(to)}, expected one after the begin at ${formatTime(from)}: ${known}`,
    );
  if (span.to <= span.from || span.from > upTo || span.to <= firstTime)
    throw new AppError(
      'QUERY_INVALID',
      `found no readings from ${formatTime(span.from)} to ${formatTime(span.to)}: ${known}`,
    );
  return span;
}
