import { type Finding, formatTime } from '../../collector/contract/index.ts';
import type { FindingKey, Findings, Journal } from '../../collector/index.ts';
import type { Snapshot } from '../site.ts';

/** What findings are kept in. */
interface KeptIn {
  readonly findings: Findings;
  readonly journal: Journal;
}

/**
 * Keeps the store's findings and its journal in step with what is shown. Those that are settled, because they were cleared long ago, are
 * written once and let go of.
 */
export class FindingsKeeper {
  readonly #saved = new Map<string, { readonly text: string; readonly finding: Finding }>();
  readonly #told = new Map<string, Snapshot>();
  /** Reading time of the newest snapshot of each finding that is in the journal. */
  readonly #journaled = new Map<string, number>();

  /** Settled ones that the store has not got as they are. */
  #settling: Finding[] = [];

  /**
   * Takes over what was saved.
   *
   * @param settledBefore those that were cleared before this are settled, epoch ms
   */
  resume(findings: Findings, settledBefore: number): void {
    this.#saved.clear();
    for (const { finding } of findings.list({ clearedFrom: settledBefore }))
      this.#saved.set(keyOf(finding), { text: JSON.stringify(finding), finding });
    this.#settling = this.#settling.filter(({ cleared }) => Date.parse(cleared!) < settledBefore);
  }

  /** Takes findings that will not be among those shown any more, and are not gone either. */
  settle(findings: readonly Finding[]): void {
    for (const finding of findings) {
      const key = keyOf(finding);
      if (this.#saved.get(key)?.text !== JSON.stringify(finding)) this.#settling.push(finding);
      this.#saved.delete(key);
      this.#journaled.delete(key);
    }
  }

  /** Writes the settled ones that the store has not got. Within the caller's transaction. */
  writeSettled({ findings }: Pick<KeptIn, 'findings'>, at: number): void {
    if (this.#settling.length > 0) findings.save(this.#settling.splice(0), at);
  }

  /** Findings that have become due for the journal since they were last shown. */
  tell(snapshots: readonly Snapshot[]): void {
    for (const snapshot of snapshots) {
      const key = keyOf(snapshot);
      if (Date.parse(snapshot.asOf) > (this.#journaled.get(key) ?? 0)) this.#told.set(key, snapshot);
    }
  }

  /**
   * What has to be written now, to be called at once within a transaction. Comparing takes the longer the more findings there
   * are, and whoever has a transaction open holds up commits of readings: so it is done before.
   *
   * @param revisedFrom reading time from which late readings or log entries changed what was known; Infinity when none did
   * @param at wall clock, epoch ms
   * @param first reading time of which anything is known: what was raised before stays as it was found, and ends there where it had not
   * @returns null where nothing is to be written
   */
  changes(findings: readonly Finding[], revisedFrom: number, at: number, first = 0): ((store: KeptIn) => void) | null {
    const changed: Finding[] = [];
    const seen = new Set<string>();
    for (const finding of findings) {
      const [key, text] = [keyOf(finding), JSON.stringify(finding)];
      seen.add(key);
      if (this.#saved.get(key)?.text === text) this.#told.delete(key);
      else changed.push(finding);
    }
    const gone = [...this.#saved]
      .filter(([key, { finding }]) => !seen.has(key) && Date.parse(finding.raised) >= first)
      .map(([, { finding }]) => finding);
    for (const [key, { finding }] of this.#saved)
      if (!seen.has(key) && finding.cleared === null && Date.parse(finding.raised) < first)
        changed.push({ ...finding, cleared: formatTime(first) });
    const due = changed.filter((finding) => this.#told.has(keyOf(finding)));
    this.#told.clear();
    if (changed.length === 0 && gone.length === 0 && this.#settling.length === 0) return null;
    return (store) => {
      this.writeSettled(store, at);
      if (gone.length > 0) store.findings.withdraw(gone.map(toKey), at);
      const revised = revisedFrom < Number.POSITIVE_INFINITY;
      if (changed.length > 0) store.findings.save(changed, at, revised);
      if (revised)
        for (const gun of new Set([...changed, ...gone].map((finding) => finding.gun)))
          store.journal.revise(gun, revisedFrom, at);
      if (due.length > 0) store.journal.append(due, at);
      for (const finding of due) this.#journaled.set(keyOf(finding), Date.parse(finding.asOf));
      for (const finding of gone) {
        this.#saved.delete(keyOf(finding));
        this.#journaled.delete(keyOf(finding));
      }
      for (const finding of changed) this.#saved.set(keyOf(finding), { text: JSON.stringify(finding), finding });
    };
  }
}

function toKey({ gun, cause, raised }: Finding): FindingKey {
  return { gun, cause, raised };
}

function keyOf({ gun, cause, raised }: Finding): string {
  return `${gun ?? ''} ${cause} ${Date.parse(raised)}`;
}
