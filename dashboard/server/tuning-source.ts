import type { ExcludedSpan, Judged, Judgement, Settings } from '../../collector/contract/index.ts';
import type { StoredExclusion, StoredJudgement, StoredSettings } from '../../collector/index.ts';
import type { StudyDesk } from './study-desk.ts';

/** Who changes something, and over which version: another one meanwhile is told, not overwritten. */
export interface Adoption {
  readonly who: string;
  readonly why: string;
  /** What is expected of it, in words. */
  readonly expected: string;
  /** Version that the person had before their eyes. */
  readonly after: number;
}

/** What the engineer changes: settings and the truth of findings and runs. Times are epoch ms. */
export interface TuningSource {
  /** Ascending by version; never empty. */
  versions(): readonly StoredSettings[];
  /**
   * Makes these settings the next version from now on.
   *
   * @throws {AppError} EDITED_MEANWHILE, naming who adopted what since `after`
   */
  adopt(settings: Settings, adoption: Adoption): StoredSettings;
  /** Powders that the plant file names or that were sprayed here. */
  powders(): readonly string[];
  readonly studies: StudyDesk;
  judgements(): readonly StoredJudgement[];
  /** @throws {AppError} NOT_FOUND when there is no such finding */
  judge(word: Omit<Judgement, 'judged'> & { judged: Judged | null }, who: string): StoredJudgement;
  exclusions(): readonly StoredExclusion[];
  exclude(span: ExcludedSpan, who: string): StoredExclusion;
  /** @throws {AppError} NOT_FOUND */
  undoExclusion(id: number, who: string): void;
}
