import type { ExcludedSpan, Judged, Judgement } from '../contract/judgement.ts';
import type { Settings, SettingsVersion } from '../contract/settings.ts';

// What people said: settings, and what is true of findings and runs. Nothing is overwritten. Times are epoch ms.

export interface StoredSettings extends SettingsVersion {
  readonly recordedAt: number;
  readonly who: string;
  readonly why: string;
  /** What was expected of it when it was adopted, in words; empty where nothing was said. */
  readonly expected: string;
}

export interface SettingsHistory {
  /** Adds the next version, which findings follow from `adopted` on (not before the version that it follows). */
  add(
    settings: Settings,
    record: { adopted: number; recordedAt: number; who: string; why: string; expected?: string },
  ): StoredSettings;
  /** Ascending. */
  list(): StoredSettings[];
}

/** A person's word on a finding as kept; `judged` null where it was taken back. */
export interface StoredJudgement extends Omit<Judgement, 'judged'> {
  readonly id: number;
  readonly judged: Judged | null;
  readonly at: number;
  readonly who: string;
}

export interface StoredExclusion extends ExcludedSpan {
  readonly id: number;
  readonly at: number;
  readonly who: string;
  readonly undoneAt: number | null;
  readonly undoneBy: string | null;
}

/** What people say of findings and of runs that are not to count. Nothing is overwritten: the newest word holds. */
export interface Truths {
  judge(
    word: Omit<Judgement, 'judged'> & { judged: Judged | null },
    record: { at: number; who: string },
  ): StoredJudgement;
  /** The newest word on each finding that was not taken back. */
  judgements(): StoredJudgement[];
  /** Every word ever said, those taken back and `null` for taking back too, oldest first. */
  words(): StoredJudgement[];
  /** Every word ever said on one finding, oldest first. */
  history(gun: string | null, cause: string, raised: number): StoredJudgement[];
  exclude(span: ExcludedSpan, record: { at: number; who: string }): StoredExclusion;
  /** @returns false when there is no such exclusion, or it was undone before */
  undoExclusion(id: number, record: { at: number; who: string }): boolean;
  /** Those that hold, or all that ever did; ascending by id. */
  exclusions(filter?: { undone?: boolean }): StoredExclusion[];
}
