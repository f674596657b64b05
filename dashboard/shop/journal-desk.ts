import { withPowderNamed } from '../../collector/contract/index.ts';
import type { LogCorrection, StoredLogEntry } from '../../collector/index.ts';
import type { JournalLine } from '../server/index.ts';
import { type Basis, gunName } from './basis.ts';
import { statedWords } from './stated-words.ts';
import { wordLines } from './word-lines.ts';

const iso = (time: number): string => new Date(time).toISOString();
const SHELF = {
  counted: (n: number) => `counted ${n}`,
  delivered: (n: number) => `${n} delivered`,
  taken: (n: number) => `${n} taken`,
  ordered: (n: number) => `${n} on order`,
} as const;

/** All that people did and the analysis showed, with who and when. Nothing leaves it; what was taken back says so. */
export class JournalDesk {
  readonly #basis: Basis;

  constructor(basis: Basis) {
    this.#basis = basis;
  }

  lines({ from, to, limit }: { from: number; to: number; limit: number }): JournalLine[] {
    return [
      ...this.#work(from, to),
      ...this.#shelf(),
      ...this.#figures(from, to),
      ...this.#settings(),
      ...wordLines(this.#basis.store),
      ...this.#findings(),
    ]
      .filter(({ time }) => Date.parse(time) >= from && Date.parse(time) < to)
      .sort((left, right) => (left.time === right.time ? 0 : left.time < right.time ? 1 : -1))
      .slice(0, limit);
  }

  #work(from: number, to: number): JournalLine[] {
    const { store } = this.#basis;
    const corrections = store.log.corrections();
    const byEntry = new Map(corrections.map((one) => [one.entry, one]));
    const work = store.log
      .history({ from, to })
      .map((entry): JournalLine => this.#entry(entry, byEntry.get(entry.id) ?? null));
    const taken = corrections.map((one): JournalLine => {
      const entry = store.log.get(one.entry);
      return {
        time: iso(one.at),
        recordedAt: iso(one.at),
        kind: 'correction',
        gun: entry?.gun ?? null,
        subject: entry?.part ?? '',
        what: `entry ${one.entry} taken back${one.replacement === null ? '' : `, entry ${one.replacement} in its place`}`,
        note: one.why,
        who: one.who,
        entry: one.entry,
        takenBack: null,
      };
    });
    return [...work, ...taken];
  }

  #entry(entry: StoredLogEntry, correction: LogCorrection | null): JournalLine {
    return {
      time: iso(entry.time),
      recordedAt: iso(entry.recordedAt),
      kind: 'work',
      gun: entry.gun,
      subject: entry.part,
      what: workWords(entry),
      note: entry.note,
      who: entry.who || entry.source,
      entry: entry.id,
      takenBack:
        correction === null
          ? null
          : `taken back by ${correction.who || 'someone'} at ${iso(correction.at)}${correction.why === '' ? '' : `: ${correction.why}`}`,
    };
  }

  #shelf(): JournalLine[] {
    return this.#basis.store.stock.list().map((move) => ({
      time: iso(move.time),
      recordedAt: iso(move.recordedAt),
      kind: 'shelf',
      gun: null,
      subject: move.part,
      what: SHELF[move.kind](move.quantity),
      note: move.note,
      who: move.who,
      entry: null,
      takenBack: move.undoneAt === null ? null : `taken back by ${move.undoneBy || 'someone'} at ${iso(move.undoneAt)}`,
    }));
  }

  #figures(from: number, to: number): JournalLine[] {
    return this.#basis.store.figures.history({ from, to }).map((stated) => ({
      ...statedWords(stated),
      time: iso(stated.recordedAt),
      recordedAt: iso(stated.recordedAt),
      note: '',
      who: stated.who,
      entry: null,
      takenBack: null,
    }));
  }

  #settings(): JournalLine[] {
    return this.#basis.store.settings.list().map(({ version, recordedAt, who, why }) => ({
      time: iso(recordedAt),
      recordedAt: iso(recordedAt),
      kind: 'settings',
      gun: null,
      subject: 'settings',
      what: `version ${version} adopted`,
      note: why,
      who,
      entry: null,
      takenBack: null,
    }));
  }

  #findings(): JournalLine[] {
    const { store, plant } = this.#basis;
    const names = (guns: readonly string[]): string => guns.map((id) => gunName(plant, id)).join(', ');
    return store.findings.list({ withdrawn: true }).flatMap(({ finding, savedAt, withdrawnAt }) => {
      const base = {
        recordedAt: iso(savedAt),
        kind: 'finding' as const,
        gun: finding.gun,
        subject: finding.cause,
        who: 'driftline',
        entry: null,
        takenBack: withdrawnAt === null ? null : `withdrawn at ${iso(withdrawnAt)}: late data took it away`,
      };
      const note = finding.guns ? names(finding.guns) : withPowderNamed(finding.evidence[0] ?? '', plant.powders);
      const raised: JournalLine = { ...base, time: finding.raised, what: `raised, ${finding.category}`, note };
      return finding.cleared === null
        ? [raised]
        : [raised, { ...base, time: finding.cleared, what: 'cleared', note: '' }];
    });
  }
}

/** "inspected, found good, 21 mm". */
function workWords({ action, found, measured }: StoredLogEntry): string {
  return [
    action,
    ...(found === null ? [] : [`found ${found}`]),
    ...(measured ? [`${measured.value} ${measured.unit}`] : []),
  ].join(', ');
}
