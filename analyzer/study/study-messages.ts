import type { Plant, Settings } from '../../collector/contract/index.ts';
import type { StudyReport, ToldStudy } from './study-report.ts';
import type { Suggestion } from './suggest-settings.ts';

/** What the studies' thread is started with. */
export interface StudyStart {
  readonly dir: string;
  readonly plant: Plant;
}

/** A question about settings. Times are epoch ms; null: from the first reading, to the newest. */
export interface StudyQuestion {
  /** `compare`: present against proposed; `curve`: 25 settings around the proposed; `suggest`: settings for a target. */
  readonly kind: 'compare' | 'curve' | 'suggest';
  readonly present: Settings;
  readonly proposed: Settings;
  readonly from: number | null;
  readonly to: number | null;
  /** False alarms per gun and year, for `suggest`. */
  readonly targetPerGunYear: number | null;
}

/** One point of the curve. */
export type CurvePoint = Pick<ToldStudy, 'settings' | 'total'>;

export type StudyAnswer =
  | { readonly kind: 'compare'; readonly report: StudyReport }
  | {
      readonly kind: 'curve';
      readonly present: CurvePoint;
      readonly proposed: CurvePoint;
      readonly points: readonly CurvePoint[];
    }
  | { readonly kind: 'suggest'; readonly suggestion: Suggestion; readonly points: readonly CurvePoint[] };

/** How far a question has come, with what is known so far. */
export interface StudyProgress {
  readonly share: number;
  readonly points: readonly CurvePoint[];
}

export type StudyOrder =
  | { readonly kind: 'ask'; readonly id: number; readonly question: StudyQuestion }
  | { readonly kind: 'cancel'; readonly id: number };

export type StudyNews =
  | { readonly kind: 'progress'; readonly id: number; readonly progress: StudyProgress }
  | { readonly kind: 'answer'; readonly id: number; readonly answer: StudyAnswer }
  /** `code` as in AppError. */
  | { readonly kind: 'refused'; readonly id: number; readonly code: string; readonly message: string };
