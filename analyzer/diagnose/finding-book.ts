import type { Category, Finding } from '../../collector/contract/index.ts';
import { intervalOf, medianOf, type Remaining } from '../forecast/remaining-life.ts';
import type { Candidate } from './candidate.ts';
import { checksInWords, type HandCheck, weighChecks } from './weigh-checks.ts';

export type { Candidate };

/** What a judge says of one finding now. */
export interface Judgement {
  readonly category: Category;
  readonly candidates: readonly Candidate[];
  readonly excessAir: number | null;
  readonly remaining: Remaining | null;
  /** Put into words when somebody wants to read them: a function holds all that they are made of as it was. */
  readonly evidence: readonly string[] | (() => readonly string[]);
}

/** A finding as it stands, times as epoch ms. Plain data: part of the pipeline's state. */
export interface OpenFinding {
  gun: string | null;
  guns: string[] | null;
  cause: string;
  /** What it is about, so that the same judge finds it again. */
  subject: string;
  category: Category;
  onset: number;
  raised: number;
  asOf: number;
  cleared: number | null;
  candidates: Candidate[];
  excessAir: number | null;
  /** Reckoned when it is told. */
  remaining: Remaining | null;
  evidence: string[];
  /** As it was told last, for what counts as a material change. */
  told: { category: Category; candidates: Candidate[]; p50: number; sprayHours: number };
  /** Spray hours of the gun when it was raised. */
  raisedHours: number;
  /** What people found by hand since it was raised: it weighs the candidates. */
  checks?: HandCheck[];
  /** What was said of it last, where nobody is told of snapshots: the rest of it is brought up to date when it is read. */
  latest?: Judgement | null;
}

export interface FindingBook {
  open: OpenFinding[];
  closed: OpenFinding[];
  /** Spray hours of a gun from which its insert has been due without a break, by gun; none while it is not due. */
  due: Record<string, number>;
}

export const emptyBook = (): FindingBook => ({ open: [], closed: [], due: {} });

const iso = (time: number): string => new Date(time).toISOString();
const round = (value: number, digits: number): number => Number(value.toFixed(digits));

/** A finding in the contract's shape. */
export function toFinding(finding: OpenFinding): Finding {
  bringUpToDate(finding);
  const hours = finding.remaining === null ? null : intervalOf(finding.remaining);
  return {
    gun: finding.gun,
    ...(finding.guns === null ? {} : { guns: finding.guns }),
    cause: finding.cause,
    category: finding.category,
    onset: iso(finding.onset),
    raised: iso(finding.raised),
    asOf: iso(finding.asOf),
    cleared: finding.cleared === null ? null : iso(finding.cleared),
    candidates: finding.candidates.map(({ cause, probability }) => ({ cause, probability: round(probability, 3) })),
    excessAir: finding.excessAir === null ? null : round(finding.excessAir, 4),
    remaining:
      hours === null
        ? null
        : { sprayHours: { p10: round(hours.p10, 1), p50: round(hours.p50, 1), p90: round(hours.p90, 1) } },
    evidence: [...finding.evidence],
  };
}

/** The open finding of a gun (or site) about a subject. */
export function findOpen(book: FindingBook, gun: string | null, subject: string): OpenFinding | undefined {
  // Asked for a dozen times a look.
  const { open } = book;
  for (let place = 0; place < open.length; place++) {
    const finding = open[place]!;
    if (finding.gun === gun && finding.subject === subject) return finding;
  }
  return undefined;
}

/** Candidates of 2 % or more, highest first, summing to at most 1. */
export function tidyCandidates(candidates: readonly Candidate[]): Candidate[] {
  const total = candidates.reduce((sum, { probability }) => sum + probability, 0);
  const scale = total > 1 ? 1 / total : 1;
  return candidates
    .map(({ cause, probability }) => ({ cause, probability: Math.floor(probability * scale * 1000) / 1000 }))
    .filter(({ probability }) => probability >= 0.02)
    .sort((left, right) => right.probability - left.probability);
}

/** The time from `now` on that no other finding of this cause bears, at this gun or site: gun, cause and that time are what one is known by (contract section 6). */
function raisedAt({ open, closed }: FindingBook, gun: string | null, cause: string, now: number): number {
  let raised = now;
  const bears = (one: OpenFinding): boolean => one.raised === raised && one.gun === gun && one.cause === cause;
  while (open.some(bears) || closed.some(bears)) raised++;
  return raised;
}

/** Raises a finding at `now`, or milliseconds later where another of its name was; its first snapshot is told. */
export function raise(
  book: FindingBook,
  at: {
    gun: string | null;
    guns?: string[];
    cause: string;
    subject: string;
    onset: number;
    now: number;
    sprayHours: number;
  },
  judgement: Judgement,
  told: Finding[] | null,
): OpenFinding {
  const raised = raisedAt(book, at.gun, at.cause, at.now);
  const finding: OpenFinding = {
    gun: at.gun,
    guns: at.guns ?? null,
    cause: at.cause,
    subject: at.subject,
    category: judgement.category,
    onset: Math.min(at.onset, at.now),
    raised,
    asOf: raised,
    cleared: null,
    candidates: tidyCandidates(judgement.candidates),
    excessAir: judgement.excessAir,
    remaining: judgement.remaining,
    evidence: [...wordsOf(judgement)],
    told: { category: judgement.category, candidates: [], p50: 0, sprayHours: 0 },
    raisedHours: at.sprayHours,
  };
  book.open.push(finding);
  tell(finding, at.sprayHours, told);
  return finding;
}

/**
 * Brings an open finding up to what is known now; a snapshot is told where that is a material change or 8 spray hours have passed.
 *
 * @param told null where nobody wants snapshots: then the words are put off until the finding is read
 */
export function update(
  finding: OpenFinding,
  judgement: Judgement,
  now: number,
  sprayHours: number,
  told: Finding[] | null,
): void {
  finding.category = judgement.category;
  finding.latest = judgement;
  finding.asOf = now;
  if (told === null) return;
  bringUpToDate(finding);
  if (isMaterial(finding) || sprayHours - finding.told.sprayHours >= 8) tell(finding, sprayHours, told);
}

const wordsOf = ({ evidence }: Judgement): readonly string[] =>
  typeof evidence === 'function' ? evidence() : evidence;

/** Takes what was said last into the finding; to be called before anything but its category is read or checks are added. */
export function bringUpToDate(finding: OpenFinding): void {
  const judgement = finding.latest ?? null;
  if (judgement === null) return;
  finding.latest = null;
  const checks = finding.checks ?? [];
  finding.candidates = tidyCandidates(weighChecks(judgement.candidates, checks));
  finding.excessAir = judgement.excessAir;
  finding.remaining = judgement.remaining;
  const causes = new Set([finding.cause, ...judgement.candidates.map(({ cause }) => cause)]);
  finding.evidence = [...wordsOf(judgement), ...checksInWords(checks, causes)];
}

/** Ends a finding. */
export function clear(
  book: FindingBook,
  finding: OpenFinding,
  now: number,
  sprayHours: number,
  why: string,
  told: Finding[] | null,
): void {
  bringUpToDate(finding);
  finding.cleared = now;
  finding.asOf = now;
  finding.evidence = [why, ...finding.evidence];
  book.open.splice(book.open.indexOf(finding), 1);
  book.closed.push(finding);
  tell(finding, sprayHours, told);
}

function tell(finding: OpenFinding, sprayHours: number, told: Finding[] | null): void {
  if (told === null) return;
  const hours = finding.remaining === null ? null : intervalOf(finding.remaining);
  finding.remaining = hours;
  finding.told = {
    category: finding.category,
    candidates: finding.candidates.map((candidate) => ({ ...candidate })),
    p50: hours?.p50 ?? -1,
    sprayHours,
  };
  told.push(toFinding(finding));
}

/** Category, order of candidates, a probability by 0.05, p50 by a tenth (contract section 6). */
function isMaterial({ told, category, candidates, remaining }: OpenFinding): boolean {
  if (told.category !== category || told.candidates.length !== candidates.length) return true;
  for (const [i, candidate] of candidates.entries()) {
    const before = told.candidates[i]!;
    if (before.cause !== candidate.cause || movedBy(before.probability, candidate.probability, 0.05)) return true;
  }
  const step = 0.1 * Math.max(Math.abs(told.p50), 1);
  return movedBy(told.p50, remaining === null ? -1 : medianOf(remaining, told.p50, step), step);
}

/** Exactly on the step counts, whatever binary fractions make of it. */
function movedBy(before: number, after: number, step: number): boolean {
  return Math.abs(after - before) >= step - 1e-9;
}
