import { isPartId, type LogEntry, type PartId } from '../../collector/contract/index.ts';
import type { Candidate } from './candidate.ts';
import { causeInWords, wasOrWere } from './in-words.ts';

/** How well a check by hand tells: the chance that a part at fault is found so, and that a sound one is found good. */
interface Tells {
  readonly hit: number;
  readonly pass: number;
}

/** Source: own choice, because a gauge decides better than a look; none is certain, and a part may be worn without being the cause. */
const TELLS: Readonly<Record<PartId, Tells>> = {
  'pump-insert': { hit: 0.95, pass: 0.85 },
  'pump-seals': { hit: 0.85, pass: 0.9 },
  'gun-seals': { hit: 0.9, pass: 0.95 },
  'conveying-filter': { hit: 0.9, pass: 0.9 },
  'supplementary-filter': { hit: 0.9, pass: 0.9 },
  'fluidizing-ring': { hit: 0.85, pass: 0.85 },
  'inlet-filter': { hit: 0.8, pass: 0.8 },
  'powder-hose': { hit: 0.75, pass: 0.85 },
  'gun-tube': { hit: 0.9, pass: 0.85 },
  'electrode-holder': { hit: 0.85, pass: 0.85 },
  nozzle: { hit: 0.85, pass: 0.85 },
};

/** Stand-off of the wear gauge, mm: an insert at fault enters nearly to the shoulder, one that is not lies anywhere up to new. Source: own choice around the handbook's 25 mm when new and 0 when worn. */
const STAND_OFF = { fault: { mean: 2, sd: 3 }, sound: { mean: 16, sd: 6 } };

/** What a check by hand found. */
export type HandCheck = Pick<LogEntry, 'part' | 'found' | 'measured'>;

const density = (x: number, { mean, sd }: { mean: number; sd: number }): number =>
  Math.exp(-0.5 * ((x - mean) / sd) ** 2) / sd;

/** How much likelier a check's result is where its part is the cause than where it is not; 1 where it tells nothing. */
export function likelihoodRatio(entry: HandCheck): number {
  if (!isPartId(entry.part)) return 1;
  if (entry.part === 'pump-insert' && entry.measured?.unit === 'mm') {
    const ratio =
      density(entry.measured.value, STAND_OFF.fault) / Math.max(density(entry.measured.value, STAND_OFF.sound), 1e-12);
    return Math.min(30, Math.max(1 / 30, ratio));
  }
  const { hit, pass } = TELLS[entry.part];
  if (entry.found === null) return 1;
  return entry.found === 'good' ? (1 - hit) / pass : hit / (1 - pass);
}

/**
 * Candidates of a finding after checks by hand, by Bayes' rule; what the candidates leave open counts as another cause. Only the latest
 * result of a part counts.
 *
 * @param checks entries `inspected`, ascending by time
 * @returns highest first, summing to at most 1; those below 2 % are left out
 * @example
 * weighChecks([{ cause: 'pump-insert', probability: 0.6 }, { cause: 'pump-seals', probability: 0.4 }], [{ part: 'pump-insert', found: 'good', measured: null }])[0].cause; // 'pump-seals'
 */
export function weighChecks(candidates: readonly Candidate[], checks: readonly HandCheck[]): Candidate[] {
  if (checks.length === 0) return [...candidates];
  const latest = new Map(checks.map((entry) => [entry.part, likelihoodRatio(entry)]));
  const weighed = candidates.map(({ cause, probability }) => ({
    cause,
    probability: probability * (latest.get(cause) ?? 1),
  }));
  const other = Math.max(0, 1 - candidates.reduce((sum, { probability }) => sum + probability, 0));
  const total = weighed.reduce((sum, { probability }) => sum + probability, other);
  if (total <= 0) return [...candidates];
  return weighed
    .map(({ cause, probability }) => ({ cause, probability: Math.round((1000 * probability) / total) / 1000 }))
    .filter(({ probability }) => probability >= 0.02)
    .sort((left, right) => right.probability - left.probability);
}

/**
 * Checks as evidence, the latest of each part; what was found of parts that are no cause of the finding is none of its business.
 *
 * @param causes the finding's cause and its candidates
 */
export function checksInWords(checks: readonly HandCheck[], causes: ReadonlySet<string>): string[] {
  const latest = new Map(checks.map((check) => [check.part, check]));
  return [...latest.values()].filter(({ part }) => causes.has(part)).map(checkInWords);
}

/** A check in words: "the pump insert was looked at and found good (12 mm)". */
function checkInWords({ part, found, measured }: HandCheck): string {
  const size = measured ? `${measured.value} ${measured.unit}` : null;
  const looked = `${causeInWords(part)} ${wasOrWere(part)} looked at`;
  if (found === null) return `${looked}: ${size}`;
  return `${looked} and found ${found}${size === null ? '' : ` (${size})`}`;
}

/** The check to ask for first. */
export interface CheckFirst {
  readonly part: PartId;
  /** The two causes that are close, which it tells apart; null where one is well ahead. */
  readonly separates: readonly [string, string] | null;
}

/** Causes are close where the second is at least half as likely as the first. Source: own choice. */
const CLOSE = 0.5;

/**
 * The check by hand that should come before any change: where two causes are close, the one whose result is expected to leave the
 * least doubt (Shannon's entropy) over all candidates; else that of the leading part.
 *
 * @param checked parts that were looked at already
 * @returns null where no candidate that is a part is left to check
 */
export function checkFirst(candidates: readonly Candidate[], checked: ReadonlySet<string>): CheckFirst | null {
  const parts = candidates.map(({ cause }) => cause).filter((cause): cause is PartId => isPartId(cause));
  const open = parts.filter((part) => !checked.has(part));
  const [first, second] = candidates;
  if (first === undefined || open.length === 0) return null;
  const close = second !== undefined && second.probability >= CLOSE * first.probability;
  // Where powder or a sensor leads, the likeliest part is looked at; a leading part that was looked at already is for changing.
  if (!close) return checked.has(first.cause) ? null : { part: open[0]!, separates: null };
  const pair = open.filter((part) => part === first.cause || part === second.cause);
  const part = (pair.length > 0 ? pair : open).reduce((best, one) =>
    doubtAfter(candidates, one) < doubtAfter(candidates, best) - 1e-9 ? one : best,
  );
  return { part, separates: [first.cause, second.cause] };
}

/** Expected entropy over the candidates after the check of a part, nat. */
function doubtAfter(candidates: readonly Candidate[], part: PartId): number {
  const { hit, pass } = TELLS[part];
  const prior = candidates.find(({ cause }) => cause === part)?.probability ?? 0;
  const positive = prior * hit + (1 - prior) * (1 - pass);
  const after = (found: 'good' | 'worn'): number =>
    weighChecks(candidates, [{ part, found, measured: null }]).reduce(
      (sum, { probability }) => sum - probability * Math.log(Math.max(probability, 1e-12)),
      0,
    );
  return positive * after('worn') + (1 - positive) * after('good');
}
