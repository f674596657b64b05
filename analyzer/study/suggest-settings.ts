import type { Settings } from '../../collector/contract/index.ts';
import { type Span, type Study, tallyFor } from './study.ts';
import { type Tally, tallyOf } from './study-score.ts';

/** Settings that keep a target, and what they did on months that had no say in choosing them. */
export interface Suggestion {
  readonly settings: Settings;
  /** On the whole span, which chose them. */
  readonly fitted: Tally;
  /** Pooled over the folds, each told by the settings that the other months would have chosen. */
  readonly unseen: Tally;
  readonly folds: readonly Fold[];
}

export interface Fold {
  readonly spans: readonly Span[];
  readonly settings: Settings;
  readonly unseen: Tally;
}

/** Fewer months cannot be held out against each other. Source: own choice. */
export const FEWEST_MONTHS = 3;
/** Source: own choice, five folds as is usual for cross-validation, because each keeps four fifths of the months to choose by. */
const FOLDS = 5;

/**
 * Chooses, among settings that were all studied on the same span, those that give the most warning while false alarms stay within a
 * target, and tells what to expect of that choice by cross-validation over months. Months of one fold lie side by side, so that a
 * fault that goes on over the turn of a month seldom stands on both sides.
 *
 * @param months spans of reading time, ascending
 * @param targetPerGunYear false alarms against a part per gun and year
 * @throws {RangeError} if there are fewer months than FEWEST_MONTHS or no studies
 */
export function suggestSettings(
  studies: readonly Study[],
  months: readonly Span[],
  targetPerGunYear: number,
): Suggestion {
  if (months.length < FEWEST_MONTHS)
    throw new RangeError(`${months.length} months: expected at least ${FEWEST_MONTHS} to hold some out`);
  if (studies.length === 0) throw new RangeError('no studies: expected at least one');
  const folds = foldsOf(months).map((spans) => {
    const others = months.filter((month) => !spans.includes(month));
    const chosen = choose(studies, others, targetPerGunYear);
    return { spans, settings: chosen.settings, unseen: tallyFor(chosen, { spans }), chosen };
  });
  const best = choose(studies, months, targetPerGunYear);
  return {
    settings: best.settings,
    fitted: tallyFor(best, { spans: months }),
    unseen: pooled(folds),
    folds: folds.map(({ spans, settings, unseen }) => ({ spans, settings, unseen })),
  };
}

/** Most warning within the target; where none keeps it, the fewest false alarms; of equals the fewer false alarms, then the first. */
function choose(studies: readonly Study[], spans: readonly Span[], target: number): Study {
  const scored = studies.map((one) => ({ one, tally: tallyFor(one, { spans }) }));
  const rate = ({ tally }: (typeof scored)[number]): number => tally.falsePerGunYear?.value ?? 0;
  const warning = ({ tally }: (typeof scored)[number]): number => tally.warningSprayHours?.value ?? 0;
  const kept = scored.filter((candidate) => rate(candidate) <= target);
  const best =
    kept.length > 0
      ? kept.reduce((a, b) => ((warning(b) - warning(a) || rate(a) - rate(b)) > 0 ? b : a))
      : scored.reduce((a, b) => ((rate(a) - rate(b) || warning(b) - warning(a)) > 0 ? b : a));
  return best.one;
}

function foldsOf(months: readonly Span[]): Span[][] {
  const count = Math.min(FOLDS, months.length);
  return Array.from({ length: count }, (_, fold) =>
    months.slice(Math.floor((fold * months.length) / count), Math.floor(((fold + 1) * months.length) / count)),
  );
}

/** All that the folds' choices told on the months they had not seen. */
function pooled(folds: readonly { readonly spans: readonly Span[]; readonly chosen: Study }[]): Tally {
  const within = (time: number, spans: readonly Span[]): boolean =>
    spans.some(({ from, to }) => time >= from && time < to);
  let gunMs = 0;
  for (const { spans, chosen } of folds)
    for (const watched of chosen.watched.values())
      for (const { from, to } of spans) gunMs += Math.max(0, Math.min(to, watched.to) - Math.max(from, watched.from));
  return tallyOf(
    folds.flatMap(({ spans, chosen }) => chosen.findings.filter(({ raised }) => within(raised, spans))),
    folds.flatMap(({ spans, chosen }) => chosen.due.filter(({ time }) => within(time, spans))),
    gunMs,
  );
}
