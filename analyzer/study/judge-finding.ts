import { type Finding, isPartId, type Judgement } from '../../collector/contract/index.ts';
import { causeInWords, wasOrWere } from '../diagnose/in-words.ts';
import { SILENTLY_CHANGED } from '../diagnose/silent-change.ts';
import type { Statement } from './statements.ts';
import { NOTHING_UNLOGGED, type UnloggedChanges } from './undecided-changes.ts';

/** What became of a finding: it was right, or wrong, nobody can tell, or it is still open. */
export type Verdict = 'right' | 'false' | 'unknown' | 'open';

export interface JudgedFinding {
  readonly finding: Finding;
  /** Epoch ms. */
  readonly raised: number;
  readonly cleared: number | null;
  readonly verdict: Verdict;
  /** Why, in plain words. */
  readonly because: string;
}

/**
 * Judges a finding by what people wrote down, a person's own word on it first. A finding against a part is right when the part was
 * found worn or failed while it was open, or was changed and the signal came back; it is false when the part was found good, when
 * another part was the worn one, or when it cleared with nothing done. Where the air came back as after a change that nobody has
 * confirmed or dismissed yet, or may have, as what it showed then is no longer known, nobody can tell. Findings of other kinds leave nothing in the log: only a person's word tells.
 *
 * @param statements of the log, ascending by time
 * @param word what a person said of it; undefined for nothing
 * @param unlogged what is known of changes that the air seems to show and nobody logged
 */
export function judgeFinding(
  finding: Finding,
  statements: readonly Statement[],
  word: Pick<Judgement, 'judged' | 'reason'> | undefined,
  { undecided, forgotten }: UnloggedChanges = NOTHING_UNLOGGED,
): JudgedFinding {
  const raised = Date.parse(finding.raised);
  const cleared = finding.cleared === null ? null : Date.parse(finding.cleared);
  const base = { finding, raised, cleared };
  if (word !== undefined) {
    const verdict = ({ right: 'right', wrong: 'false', unsure: 'unknown' } as const)[word.judged];
    return { ...base, verdict, because: `judged ${word.judged}${word.reason === '' ? '' : `: ${word.reason}`}` };
  }
  if (!isPartId(finding.cause))
    return cleared === null
      ? { ...base, verdict: 'open', because: 'still open' }
      : { ...base, verdict: 'unknown', because: 'no part: the log does not tell' };
  const meanwhile = statements.filter(
    ({ gun, time }) => gun === finding.gun && time >= raised && (cleared === null || time <= cleared),
  );
  const isUndecided = undecided.some(
    ({ gun, part, time, noticed }) =>
      gun === finding.gun && part === finding.cause && noticed >= raised && (cleared === null || time <= cleared),
  );
  // One that is forgotten would explain it where it was noticed no sooner than the finding was raised.
  const isForgotten =
    finding.gun !== null &&
    SILENTLY_CHANGED.includes(finding.cause) &&
    raised <= (forgotten.get(finding.gun) ?? -Infinity);
  const inAir = isUndecided ? UNDECIDED : isForgotten ? FORGOTTEN : null;
  return { ...base, ...byStatements(finding.cause, meanwhile, cleared, inAir) };
}

/** Why nobody can tell of a finding that cleared with nothing logged. */
const UNDECIDED = 'the air came back as after a change that nobody confirmed or dismissed';
const FORGOTTEN = 'nothing is logged, and whether the air came back as after a change is no longer known';

/** @param inAir why nobody can tell where nothing is logged; null where that says that nothing was done */
function byStatements(
  part: string,
  meanwhile: readonly Statement[],
  cleared: number | null,
  inAir: string | null,
): Pick<JudgedFinding, 'verdict' | 'because'> {
  const own = meanwhile.filter((statement) => statement.part === part);
  const told = own.find(({ found }) => found !== null);
  if (told?.found === 'good') return { verdict: 'false', because: 'the part was found good' };
  if (told !== undefined) return { verdict: 'right', because: `the part was found ${told.found}` };
  const other = meanwhile.find(({ found }) => found === 'worn' || found === 'failed');
  if (cleared === null) return { verdict: 'open', because: 'still open' };
  if (own.some(({ changed }) => changed))
    return { verdict: 'right', because: 'the part was changed and the signal came back' };
  if (other !== undefined) {
    const because = `${causeInWords(other.part)} ${wasOrWere(other.part)} found ${other.found} instead`;
    return { verdict: 'false', because };
  }
  if (inAir !== null) return { verdict: 'unknown', because: inAir };
  return { verdict: 'false', because: 'it cleared with nothing done to the part' };
}
