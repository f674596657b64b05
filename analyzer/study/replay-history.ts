import type { Finding, Settings } from '../../collector/contract/index.ts';
import { sitePipeline } from '../pipeline.ts';
import type { PipelineState } from '../pipeline-state.ts';
import type { SiteContext } from '../site.ts';
import type { SiteHistory } from './history.ts';
import type { SuspectedChange } from './undecided-changes.ts';

/** Reading time between two reports of progress, ms. Source: own choice, because two days of a hall take milliseconds, with many settings too. */
export const SLICE_MS = 2 * 24 * 3_600_000;

/** What settings would have found. */
export interface ReplayedFindings {
  /** Last state of every finding that was raised up to the end, in order of `raised`. */
  readonly findings: readonly Finding[];
  /** Spray hours of a usual shift, by gun; guns without any are absent. */
  readonly sprayHoursPerShift: ReadonlyMap<string, number>;
  /** Changes that the air seemed to show and the log does not, by gun and time, as far as they are remembered; see `unloggedChanges`. */
  readonly suspected: readonly SuspectedChange[];
}

/** How far a replay has come: share of its reading time, and the findings so far. */
export interface ReplayProgress {
  readonly share: number;
  readonly findings: number;
}

/**
 * Runs stage two over a history with one set of settings from its beginning, with the very code that runs live. The
 * history before a span teaches the baselines, as it did then, so a span has no start of its own.
 *
 * @param to reading time at which it ends, epoch ms
 * @returns a generator: each step is a slice of the work, so that others get their turn and it can be left at any step
 */
export function* replayHistory(
  history: SiteHistory,
  settings: Settings,
  to: number,
): Generator<ReplayProgress, ReplayedFindings> {
  const context: SiteContext = {
    plant: history.plant,
    settings: [{ version: 1, adopted: 0, settings }],
    ...asTaped(history),
  };
  const state = sitePipeline.init(context);
  const end = Math.min(to, history.upTo);
  const span = Math.max(1, end - history.firstTime);
  let findings = 0;
  for (let time = history.firstTime; time < end; ) {
    time = Math.min(time + SLICE_MS, end);
    sitePipeline.advance(context, state, history.tracks, history.log, time, null);
    findings = state.book.open.length + state.book.closed.length;
    yield { share: (time - history.firstTime) / span, findings };
  }
  return {
    findings: sitePipeline.findings(context, state),
    sprayHoursPerShift: shiftHours(state),
    suspected: suspectedOf(state),
  };
}

/** What a context takes of a history beside plant and settings. */
export function asTaped({ words, tape }: SiteHistory): Pick<SiteContext, 'words' | 'tape'> {
  return { ...(words === undefined ? {} : { words }), ...(tape === undefined ? {} : { tape }) };
}

/** Spray hours of a usual shift, by gun; guns that never sprayed a day are absent. */
export function shiftHours({ guns }: PipelineState): Map<string, number> {
  const hours = new Map<string, number>();
  for (const { id, shift } of Object.values(guns)) if (shift.days >= 1) hours.set(id, shift.usual);
  return hours;
}

/** Changes that were seen in the air up to a state, of which the log knew nothing. */
export function suspectedOf({ guns }: PipelineState): SuspectedChange[] {
  return Object.values(guns).flatMap(({ id, returns }) =>
    returns.map(({ part, time, noticed }) => ({ gun: id, part, time, noticed })),
  );
}
