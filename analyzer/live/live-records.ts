import {
  type BaselineWords,
  type LogEntry,
  SAME_CHANGE_MS,
  Settings,
  type SettingsVersion,
} from '../../collector/contract/index.ts';
import type { Store, StoredDismissal, StoredExclusion, StoredRelearning } from '../../collector/index.ts';

interface Seen {
  readonly logId: number;
  readonly version: number;
  readonly correction?: number;
  readonly exclusions?: string;
  readonly words?: string;
}

/** The maintenance log and the settings' history, as far as they were looked at. */
export class LiveRecords {
  readonly #store: Store;
  #excluded: readonly StoredExclusion[];
  log: readonly LogEntry[];
  settings: readonly SettingsVersion[];
  /** What people said of baselines. */
  words: BaselineWords;
  /** Newest entry, version and correction that were looked at; 0 for none. */
  seen: Seen = { logId: 0, version: 0 };

  constructor(store: Store) {
    this.#store = store;
    this.#excluded = store.truths.exclusions({ undone: true });
    this.log = store.log.list();
    this.settings = settingsHistory(store);
    this.words = store.baselines.words();
  }

  /** Runs that do not count. */
  get exclusions(): readonly StoredExclusion[] {
    return this.#excluded.filter(({ undoneAt }) => undoneAt === null);
  }

  /**
   * Looks for what is new, also from other programs.
   *
   * @returns reading time from which stage two must look again; Infinity when nothing is new
   */
  look(): number {
    const { logId, version, correction = 0 } = this.seen;
    const last = this.#store.log.lastId();
    const settings = settingsHistory(this.#store);
    const newest = settings.at(-1)!.version;
    const corrections = this.#store.log.corrections(correction);
    const excluded = this.#store.truths.exclusions({ undone: true });
    const marks = marksOf(excluded);
    const relearnings = this.#store.baselines.relearnings();
    const dismissals = this.#store.baselines.dismissals({ undone: true });
    const words = `${marksOf(relearnings)} ${marksOf(dismissals)}`;
    const wordsMoved = words !== (this.seen.words ?? `${marksOf([])} ${marksOf([])}`);
    const unmoved =
      last === logId && newest === version && marks === (this.seen.exclusions ?? marksOf([])) && !wordsMoved;
    if (unmoved && corrections.length === 0) return Number.POSITIVE_INFINITY;
    const entries = this.#store.log.list({ afterId: logId });
    const changed = marks === this.seen.exclusions ? [] : excluded;
    this.#excluded = excluded;
    this.log = this.#store.log.list();
    this.settings = settings;
    this.words = this.#store.baselines.words();
    const [before, now] = [this.seen.words, words];
    this.seen = {
      ...{ logId: last, version: newest, correction: corrections.at(-1)?.id ?? correction },
      ...{ exclusions: marks, words: now },
    };
    return Math.min(
      ...entries.map(({ time }) => time),
      ...corrections.map(({ entry }) => this.#store.log.get(entry)!.time),
      // Which of them changed is not known after a restart, and they are few.
      ...changed.map(({ from }) => from),
      ...(wordsMoved ? wordTimes(before ?? '', relearnings, dismissals) : []),
      ...settings.filter((one) => one.version > version).map(({ adopted }) => adopted),
      Number.POSITIVE_INFINITY,
    );
  }
}

/** Tells whether any of them was added or undone. */
function marksOf(words: readonly { readonly undoneAt: number | null }[]): string {
  return `${words.length} ${words.filter(({ undoneAt }) => undoneAt !== null).length}`;
}

/**
 * Reading times from which stage two must look again for words on baselines. What was raised before a decision stays, so one that was seen
 * is not gone through again.
 *
 * @param before marks of relearnings and dismissals as they were seen last
 */
function wordTimes(
  before: string,
  relearnings: readonly StoredRelearning[],
  dismissals: readonly StoredDismissal[],
): number[] {
  const [made = 0, undone = 0, said = 0, unsaid = 0] = before.split(' ').map(Number);
  const fresh = relearnings.slice(made).map(({ decided }) => decided);
  const reverted = relearnings.flatMap((one) => (one.undone === null ? [] : [one.undone])).sort((a, b) => b - a);
  const moved = dismissals.length !== said || marksOf(dismissals) !== `${said} ${unsaid}`;
  return [
    ...fresh,
    ...reverted.slice(0, Math.max(0, reverted.length - undone)),
    // Which of them changed is not known after a restart, and they are few.
    ...(moved ? dismissals.map(({ time }) => time - SAME_CHANGE_MS) : []),
  ];
}

/** The settings' versions, the first from the beginning on; defaults where the store has none. */
function settingsHistory(store: Store): SettingsVersion[] {
  const versions = store.settings.list();
  if (versions.length === 0) return [{ version: 1, adopted: 0, settings: Settings.parse({}) }];
  return versions.map(({ version, adopted, settings }, index) => ({
    version,
    adopted: index === 0 ? 0 : adopted,
    settings,
  }));
}
