import type { Judged } from '../../collector/contract/index.ts';
import type { Store, StoredJudgement } from '../../collector/index.ts';
import type { JournalLine } from '../server/index.ts';

const iso = (time: number): string => new Date(time).toISOString();
const SAID: Readonly<Record<Judged, string>> = {
  right: 'judged right',
  wrong: 'judged wrong',
  unsure: 'judged unsure',
};

/** What all words have in common: they are on record from when they were said. */
function line(
  { at, who, gun }: { readonly at: number; readonly who: string; readonly gun: string | null },
  told: Pick<JournalLine, 'subject' | 'what' | 'note' | 'takenBack'>,
): JournalLine {
  return { time: iso(at), recordedAt: iso(at), kind: 'word', gun, ...told, who, entry: null };
}

function undone({ undoneAt, undoneBy }: { readonly undoneAt: number | null; readonly undoneBy: string | null }) {
  return undoneAt === null ? null : `taken back by ${undoneBy || 'someone'} at ${iso(undoneAt)}`;
}

/** What people said of baselines, findings, runs and changes that the air seemed to show, for the journal. */
export function wordLines({ truths, baselines }: Store): JournalLine[] {
  return [
    ...baselines.relearnings().map((one) =>
      line(one, {
        subject: 'baseline',
        what: `learnt anew from ${iso(one.from)} on`,
        note: one.reason,
        takenBack: undone(one),
      }),
    ),
    ...baselines.dismissals({ undone: true }).map((one) =>
      line(one, {
        ...{ subject: one.part, what: `not changed at ${iso(one.time)}, whatever the air shows` },
        ...{ note: one.reason, takenBack: undone(one) },
      }),
    ),
    ...truths.exclusions({ undone: true }).map((one) =>
      line(one, {
        ...{ subject: 'runs', what: `from ${iso(one.from)} to ${iso(one.to)} left out` },
        ...{ note: one.reason, takenBack: undone(one) },
      }),
    ),
    ...judgementLines(truths.words()),
  ];
}

/** Each word on a finding; one that was said anew or taken back later says by whom. */
function judgementLines(words: readonly StoredJudgement[]): JournalLine[] {
  const next = new Map<string, StoredJudgement>();
  return [...words]
    .reverse()
    .map((word) => {
      const finding = `${word.gun} ${word.cause} ${word.raised}`;
      const later = next.get(finding);
      next.set(finding, word);
      const how = later?.judged === null ? 'taken back' : 'judged anew';
      return line(word, {
        subject: word.cause,
        what: `finding of ${iso(word.raised)} ${word.judged === null ? 'no longer judged' : SAID[word.judged]}`,
        note: word.reason,
        takenBack: later === undefined ? null : `${how} by ${later.who || 'someone'} at ${iso(later.at)}`,
      });
    })
    .reverse();
}
