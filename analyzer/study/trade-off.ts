import type { Settings } from '../../collector/contract/index.ts';
import type { SiteHistory } from './history.ts';
import type { ReplayedFindings } from './replay-history.ts';
import { replayTogether } from './replay-together.ts';
import { gridOf } from './settings-grid.ts';
import { judgeReplay, type Span, type Study } from './study.ts';

/** How far the work on several sets of settings has come. */
export interface ManyProgress {
  readonly share: number;
  /** Studies in the order of the settings; null where one is not finished. */
  readonly studies: readonly (Study | null)[];
}

/**
 * Studies the same history under many settings, together as far as they go the same way.
 *
 * @returns a generator of progress; see `replayHistory`
 */
export function* studyAll(
  history: SiteHistory,
  settings: readonly Settings[],
  span: Span,
): Generator<ManyProgress, Study[]> {
  const studies: (Study | null)[] = settings.map(() => null);
  const judge = (replayed: readonly (ReplayedFindings | null)[]): void => {
    for (const [place, one] of replayed.entries())
      if (one !== null) studies[place] ??= judgeReplay(history, settings[place]!, span, one);
  };
  for (const steps = replayTogether(history, settings, span.to); ; ) {
    const step = steps.next();
    judge(step.done ? step.value : step.value.done);
    if (step.done) return studies as Study[];
    yield { share: step.value.share, studies };
  }
}

/** The curve of false alarms against spray hours of warning: 25 settings around a base. */
export function tradeOff(history: SiteHistory, base: Settings, span: Span): Generator<ManyProgress, Study[]> {
  return studyAll(history, gridOf(base), span);
}
