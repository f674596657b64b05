import type { CaseScore, LifeOutcome } from './case-score.ts';
import { EARLIEST_SHARE } from './match-findings.ts';
import { atLeast, atMost, type Measure, share } from './measure.ts';
import { LATEST_SHARE } from './misses.ts';

/** How inserts are flagged on their way to the wear limit. */
export function lifeMeasures(scores: readonly CaseScore[]): Measure[] {
  const lives = scores.flatMap((score) => score.lives);
  const inTime = ({ flaggedAt }: LifeOutcome): boolean =>
    flaggedAt !== null && flaggedAt >= EARLIEST_SHARE && flaggedAt <= LATEST_SHARE;
  const of = (origin: LifeOutcome['origin']) => lives.filter((life) => life.origin === origin);
  const logged = of('logged');
  return [
    share('Inserts logged as new, flagged first at 35–90 % of the wear limit', logged, inTime, 'inserts', atLeast(0.9)),
    share(
      'Inserts already fitted at the start, flagged first at 35–90 %',
      of('fitted-at-start'),
      inTime,
      'inserts',
      atLeast(0.88),
    ),
    share('Inserts changed without a log entry, flagged first at 35–90 %', of('unlogged'), inTime, 'inserts', null),
    share(
      'Inserts logged as new, flagged too early',
      logged,
      ({ flaggedAt }) => flaggedAt !== null && flaggedAt < EARLIEST_SHARE,
      'inserts',
      atMost(0.05),
    ),
    share(
      'Inserts logged as new, flagged late or missed',
      logged,
      ({ flaggedAt }) => flaggedAt === null || flaggedAt > LATEST_SHARE,
      'inserts',
      atMost(0.05),
    ),
  ];
}
