import { AppError, formatTime } from '../../collector/contract/index.ts';
import type { SiteHistory } from './history.ts';
import { monthsOf } from './months.ts';
import { gridOf } from './settings-grid.ts';
import { type Span, type Study, study } from './study.ts';
import type { CurvePoint, StudyAnswer, StudyProgress, StudyQuestion } from './study-messages.ts';
import { studyReport } from './study-report.ts';
import { FEWEST_MONTHS, suggestSettings } from './suggest-settings.ts';
import { studyAll } from './trade-off.ts';

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
    const before = yield* within(study(history, present, span), 0, 0.5);
    const after = yield* within(study(history, proposed, span), 0.5, 0.5);
    return { kind: 'compare', report: studyReport(history, before, after) };
  }
  const months = monthsOf(span, history.plant.site.timezone);
  if (question.kind === 'suggest' && months.length < FEWEST_MONTHS)
    throw new AppError(
      'QUERY_INVALID',
      `found ${months.length} months of readings, expected at least ${FEWEST_MONTHS}, so that some can be held out`,
    );
  const ends = question.kind === 'curve' ? [present, proposed] : [];
  const steps = studyAll(history, [...ends, ...gridOf(proposed)], span);
  let studies: Study[];
  for (;;) {
    const step = steps.next();
    if (step.done) {
      studies = step.value;
      break;
    }
    yield {
      share: step.value.share,
      points: step.value.studies.slice(ends.length).flatMap((one) => (one === null ? [] : [pointOf(one)])),
    };
  }
  const points = studies.slice(ends.length).map(pointOf);
  if (question.kind === 'curve')
    return { kind: 'curve', present: pointOf(studies[0]!), proposed: pointOf(studies[1]!), points };
  return { kind: 'suggest', suggestion: suggestSettings(studies, months, question.targetPerGunYear ?? 0), points };
}

function* within(
  steps: Generator<{ share: number }, Study>,
  from: number,
  part: number,
): Generator<StudyProgress, Study> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield { share: from + part * step.value.share, points: [] };
  }
}

const pointOf = ({ settings, total }: Study): CurvePoint => ({ settings, total });

function spanOfQuestion({ firstTime, upTo }: SiteHistory, { from, to }: StudyQuestion): Span {
  const span = { from: from ?? firstTime, to: to ?? upTo + 1 };
  if (span.to <= span.from || span.from > upTo || span.to <= firstTime)
    throw new AppError(
      'QUERY_INVALID',
      `found no readings from ${formatTime(span.from)} to ${formatTime(span.to)}: there are readings from ${formatTime(firstTime)} to ${formatTime(upTo)}`,
    );
  return span;
}
