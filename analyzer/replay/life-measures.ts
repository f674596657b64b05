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
  const isEarly = ({ flaggedAt }: LifeOutcome): boolean => flaggedAt !== null && flaggedAt < EARLIEST_SHARE;
  const isLate = ({ flaggedAt }: LifeOutcome): boolean => flaggedAt === null || flaggedAt > LATEST_SHARE;
  const [logged, fitted, unlogged] = [of('logged'), of('fitted-at-start'), of('unlogged')];
  const row = (
    name: string,
    some: readonly LifeOutcome[],
    is: (life: LifeOutcome) => boolean,
    reach: Measure['reach'],
  ) => share(name, some, is, 'inserts', reach);
  return [
    row('Inserts logged as new, flagged first at 35–90 % of the wear limit', logged, inTime, atLeast(0.9)),
    row('Inserts already fitted at the start, flagged first at 35–90 %', fitted, inTime, atLeast(0.88)),
    row('Inserts changed without a log entry, flagged first at 35–90 %', unlogged, inTime, null),
    row('Inserts logged as new, flagged too early', logged, isEarly, atMost(0.05)),
    row('Inserts already fitted at the start, flagged too early', fitted, isEarly, null),
    row('Inserts changed without a log entry, flagged too early', unlogged, isEarly, null),
    row('Inserts logged as new, flagged late or missed', logged, isLate, atMost(0.05)),
    row('Inserts already fitted at the start, flagged late or missed', fitted, isLate, null),
    row('Inserts changed without a log entry, flagged late or missed', unlogged, isLate, null),
  ];
}
