import type { Settings } from '../../collector/contract/index.ts';
import type { SiteHistory } from './history.ts';
import { gridOf } from './settings-grid.ts';
import { type Span, type Study, study } from './study.ts';

/** How far the work on several sets of settings has come. */
export interface ManyProgress {
  readonly share: number;
  /** Studies that are finished, in the order of the settings. */
  readonly studies: readonly Study[];
}

/**
 * Studies the same history under many settings, one after the other.
 *
 * @returns a generator of progress; see `replayHistory`
 */
export function* studyAll(
  history: SiteHistory,
  settings: readonly Settings[],
  span: Span,
): Generator<ManyProgress, Study[]> {
  const studies: Study[] = [];
  for (const one of settings) {
    const steps = study(history, one, span);
    for (;;) {
      const step = steps.next();
      if (step.done) {
        studies.push(step.value);
        break;
      }
      yield { share: (studies.length + step.value.share) / settings.length, studies };
    }
  }
  return studies;
}

/** The curve of false alarms against spray hours of warning: 25 settings around a base. */
export function tradeOff(history: SiteHistory, base: Settings, span: Span): Generator<ManyProgress, Study[]> {
  return studyAll(history, gridOf(base), span);
}
