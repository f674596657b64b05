import type { Plant, Settings } from '../../collector/contract/index.ts';
import type { Versions } from './study-bundle.ts';
import type { StudyReport, ToldStudy } from './study-report.ts';
import type { Suggestion } from './suggest-settings.ts';

/** What the studies' thread is started with. */
export interface StudyStart {
  readonly dir: string;
  readonly plant: Plant;
  /** What bundles are made and reproduced with. */
  readonly versions: Versions;
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

/** A study bundle to be opened and asked again: a file, and what people call it. */
export interface BundleQuestion {
  readonly kind: 'open';
  readonly file: string;
  readonly name: string;
}

/** A comparison that was answered, to be written as a bundle. */
export interface AnsweredStudy {
  /** Of the asked study. */
  readonly id: number;
  readonly question: StudyQuestion;
  readonly report: StudyReport;
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
  | { readonly kind: 'suggest'; readonly suggestion: Suggestion; readonly points: readonly CurvePoint[] }
  | {
      readonly kind: 'open';
      readonly name: string;
      readonly plant: Plant;
      /** What came out here. */
      readonly report: StudyReport;
      /** It is the same to the last byte as the one that the bundle carries. */
      readonly isSame: boolean;
    };

/** How far a question has come, with what is known so far. */
export interface StudyProgress {
  /** The stored runs are being read, or settings tried on them. */
  readonly stage: 'loading' | 'trying';
  readonly share: number;
  readonly points: readonly CurvePoint[];
}

export type StudyOrder =
  | { readonly kind: 'ask'; readonly id: number; readonly question: StudyQuestion | BundleQuestion }
  /** Writes an answered study as a bundle into a file. */
  | { readonly kind: 'save'; readonly id: number; readonly study: AnsweredStudy; readonly file: string }
  | { readonly kind: 'cancel'; readonly id: number };

export type StudyNews =
  | { readonly kind: 'progress'; readonly id: number; readonly progress: StudyProgress }
  | { readonly kind: 'answer'; readonly id: number; readonly answer: StudyAnswer }
  | { readonly kind: 'saved'; readonly id: number }
  /** `code` as in AppError. */
  | { readonly kind: 'refused'; readonly id: number; readonly code: string; readonly message: string };
