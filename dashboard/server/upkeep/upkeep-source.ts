import type { AlertLoad, Loop, LoopJob, OutOfService, RuleOverride, ShiftCalendar } from '../../../analyzer/index.ts';
import type { PartId } from '../../../collector/contract/index.ts';

/** Who writes something, and the version that they had before them. */
export interface By {
  readonly who: string;
  readonly seen: number;
}

/** Something that people set, with its version; 0 while nobody has. */
export interface Stated<T> {
  readonly version: number;
  readonly value: T;
  readonly who: string;
  /** Epoch ms; null while nobody has. */
  readonly at: number | null;
}

/** What a person does to a job. Times are epoch ms. */
export type Deed =
  | { readonly deed: 'acknowledge' }
  | { readonly deed: 'plan'; readonly for: number; readonly note: string }
  | { readonly deed: 'unplan' }
  | { readonly deed: 'shelve'; readonly until: number; readonly reason: string }
  | { readonly deed: 'unshelve' }
  | { readonly deed: 'done'; readonly note: string }
  | { readonly deed: 'undo' };

/** What is set for a part, of a gun or (null) of all guns. */
export interface SetRule {
  readonly gun: string | null;
  readonly part: PartId;
  readonly stated: Stated<RuleOverride | null>;
}

/** The maintenance loop: parts with their counters, plan, jobs and what people said of them. */
export interface UpkeepSource {
  loop(): Loop;
  calendar(): Stated<ShiftCalendar>;
  rules(): readonly SetRule[];
  rule(gun: string | null, part: PartId): Stated<RuleOverride | null>;
  service(gun: string): Stated<OutOfService | null>;
  load(weeks: number): AlertLoad;
  /**
   * @throws {AppError} NOT_FOUND for a job that is not there, EDITED_MEANWHILE
   * @throws {RequestFault} BODY_INVALID where the deed does not fit the job
   */
  act(job: string, deed: Deed, by: By): LoopJob;
  /** Null goes back to the usual. @throws {AppError} EDITED_MEANWHILE */
  stateRule(gun: string | null, part: PartId, rule: RuleOverride | null, by: By): Stated<RuleOverride | null>;
  /** @throws {AppError} EDITED_MEANWHILE */
  stateCalendar(calendar: ShiftCalendar, by: By): Stated<ShiftCalendar>;
  /** Null puts the gun back into service. @throws {AppError} EDITED_MEANWHILE */
  stateService(gun: string, out: OutOfService | null, by: By): Stated<OutOfService | null>;
}
