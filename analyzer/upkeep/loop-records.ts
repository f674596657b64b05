import { type Finding, isPartId, type PartId, type Plant } from '../../collector/contract/index.ts';
import type { GunView } from '../views.ts';
import type { DueWork } from './due-work.ts';
import type { FittedPart, HoursLeft, KnownEntry, LivesOf } from './fitted-parts.ts';
import type { JobRecord, OutOfService } from './loop-job.ts';
import type { RuleOverride } from './part-rules.ts';
import type { ShopTime } from './shop-time.ts';
import type { SprayPace } from './spray-pace.ts';
import type { Sprayed, Usage } from './usage.ts';

/** All that the loop is made of. Times are epoch ms. */
export interface LoopRecords {
  readonly plant: Plant;
  readonly findings: readonly Finding[];
  readonly views: readonly GunView[];
  /** What counts of the log, ascending by time. */
  readonly log: readonly KnownEntry[];
  readonly usage: (gun: string) => Usage;
  readonly shop: ShopTime;
  readonly set: (gun: string | null, part: PartId) => RuleOverride | null;
  readonly record: (job: string) => { readonly version: number; readonly record: JobRecord };
  readonly outOfService: (gun: string) => OutOfService | null;
  /** Spray hours left by life statistics for a part of a gun that has sprayed so long. */
  readonly life: (
    gun: string,
    part: PartId,
    sprayHours: number,
  ) => { readonly left: HoursLeft; readonly of: LivesOf } | null;
  readonly now: number;
}

/** One gun as the loop sees it. */
export interface GunUpkeep {
  readonly gun: string;
  readonly name: string;
  readonly usage: Usage;
  readonly log: readonly KnownEntry[];
  readonly pace: SprayPace;
  /** Since its first spray run. */
  readonly sprayed: Sprayed;
  readonly parts: readonly FittedPart[];
  readonly due: readonly DueWork[];
  /** In force now; a gun that sprays again is in service again. */
  readonly outOfService: OutOfService | null;
  readonly view: GunView | null;
}

/** Work of the plan becomes a job so long before it is due, ms. Source: own choice, because a week holds a planned stop. */
export const PLAN_AHEAD_MS = 7 * 86_400_000;
/** Null for a cause that is no part. */
export const partOf = (cause: string): PartId | null => (isPartId(cause) ? cause : null);
