import { AppError, judgementKey, type Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { finish } from '../finish.ts';
import { storedTracks } from '../live/known-tracks.ts';
import { RunTape } from '../pipeline-tape.ts';
import { type SiteHistory, spanOf } from './history.ts';

/** All of a store that settings can be tried on, at once; see `historySteps`. */
export function loadHistory(store: Store, plant: Plant): SiteHistory {
  return finish(historySteps(store, plant));
}

/** Share of the work that reading the runs is; playing them for the tape is the rest. Source: own choice, as measured on a year of eight guns. */
const READING_SHARE = 0.4;

/**
 * All of a store that settings can be tried on. Nothing in the store is changed.
 *
 * @returns a generator that tells the share of the work that is done, so that others get their turn and it can be left at any step
 * @throws {AppError} READINGS_UNUSABLE when nothing was ever read
 */
export function* historySteps(store: Store, plant: Plant): Generator<number, SiteHistory> {
  const tracks = yield* scaled(storedTracks(store, plant), 0, READING_SHARE);
  const { firstTime, upTo } = spanOf(tracks);
  if (upTo === 0)
    throw new AppError(
      'READINGS_UNUSABLE',
      'the data folder: found neither readings nor runs of this plant, expected some to replay',
    );
  const cleared = new Map(
    store.findings
      .list({ withdrawn: true })
      .map(({ finding }) => [
        judgementKey(finding.gun, finding.cause, Date.parse(finding.raised)),
        finding.cleared === null ? null : Date.parse(finding.cleared),
      ]),
  );
  const judgements = store.truths.judgements().flatMap(({ gun, cause, raised, judged, reason }) => {
    const until = cleared.get(judgementKey(gun, cause, raised));
    return judged === null ? [] : [{ gun, cause, raised, judged, reason, until }];
  });
  const settings = store.settings.list().map(({ version, adopted, settings }) => ({ version, adopted, settings }));
  const words = store.baselines.words();
  const log = store.log.list();
  const taped =
    words.relearnings.length > 0
      ? {}
      : { tape: yield* scaled(RunTape.recording(plant, tracks, log, upTo), READING_SHARE, 1) };
  return { plant, tracks, log, settings, judgements, words, firstTime, upTo, ...taped };
}

/** The same steps, telling shares from `from` to `to` instead of from 0 to 1. */
function* scaled<Result>(steps: Generator<number, Result>, from: number, to: number): Generator<number, Result> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield from + step.value * (to - from);
  }
}
