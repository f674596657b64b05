import type { Finding } from '../../collector/contract/index.ts';
import type { FindingKey, Findings, Journal } from '../../collector/index.ts';
import type { Snapshot } from '../site.ts';

/** What findings are kept in. */
interface KeptIn {
  readonly findings: Findings;
  readonly journal: Journal;
}

/** Keeps the store's findings and its journal in step with what is shown. */
export class FindingsKeeper {
  readonly #saved = new Map<string, { readonly text: string; readonly finding: Finding }>();
  readonly #told = new Map<string, Snapshot>();
  /** Reading time of the newest snapshot of each finding that is in the journal. */
  readonly #journaled = new Map<string, number>();

  /** Takes over what an earlier process saved. */
  resume(findings: Findings): void {
    for (const { finding } of findings.list())
      this.#saved.set(keyOf(finding), { text: JSON.stringify(finding), finding });
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
   * @returns null where nothing is to be written
   */
  changes(findings: readonly Finding[], revisedFrom: number, at: number): ((store: KeptIn) => void) | null {
    const changed: Finding[] = [];
    const seen = new Set<string>();
    for (const finding of findings) {
      const [key, text] = [keyOf(finding), JSON.stringify(finding)];
      seen.add(key);
      if (this.#saved.get(key)?.text === text) this.#told.delete(key);
      else changed.push(finding);
    }
    const gone = [...this.#saved].filter(([key]) => !seen.has(key)).map(([, { finding }]) => finding);
    const due = changed.filter((finding) => this.#told.has(keyOf(finding)));
    this.#told.clear();
    if (changed.length === 0 && gone.length === 0) return null;
    return (store) => {
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
