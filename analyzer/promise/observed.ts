import { type Finding, isPartId, type Judgement, type LogEntry } from '../../collector/contract/index.ts';
import { rateInterval } from '../stats/count-interval.ts';
import { judgeFinding } from '../study/judge-finding.ts';
import { statementsOf } from '../study/statements.ts';
import type { UnloggedChanges } from '../study/undecided-changes.ts';
import { wordOnFinding } from '../study/word-on-finding.ts';
import type { ObservedPromise } from './promise.ts';

/** Gun-years from which a rate is told at all. Source: the promise itself, a few tenths a gun-year: fewer years tell nothing. */
export const FEWEST_GUN_YEARS = 10;

const YEAR_MS = 365.25 * 24 * 3_600_000;

/** What was found here and what people say of it. */
export interface ObservedBasis {
  readonly findings: readonly Finding[];
  readonly log: readonly LogEntry[];
  readonly judgements: readonly Judgement[];
  readonly unlogged: UnloggedChanges;
  /** First and newest that is kept of each gun, readings or runs, epoch ms. */
  readonly watched: readonly { readonly firstTime: number; readonly lastTime: number }[];
}

/**
 * Findings against a part that were judged wrong, by a person or by what the log says was found, over the calendar time for which
 * guns were watched.
 */
export function observedPromise({ findings, log, judgements, unlogged, watched }: ObservedBasis): ObservedPromise {
  const statements = statementsOf(log);
  const verdicts = findings
    .filter(({ cause }) => isPartId(cause))
    .map((finding) => judgeFinding(finding, statements, wordOnFinding(finding, judgements), unlogged).verdict);
  const count = (...of: (typeof verdicts)[number][]): number => verdicts.filter((one) => of.includes(one)).length;
  const gunYears = watched.reduce((sum, one) => sum + Math.max(0, one.lastTime - one.firstTime), 0) / YEAR_MS;
  const enough = gunYears >= FEWEST_GUN_YEARS;
  const wrong = count('false');
  return {
    gunYears,
    wrong,
    right: count('right'),
    notJudged: count('unknown', 'open'),
    enough,
    perGunYear: enough ? rateInterval(wrong, gunYears) : null,
  };
}
