import { AppError, judgementKey, type Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { storedTracks } from '../live/known-tracks.ts';
import { RunTape } from '../pipeline-tape.ts';
import { type SiteHistory, spanOf } from './history.ts';

/**
 * All of a store that settings can be tried on. Nothing in the store is changed.
 *
 * @throws {AppError} READINGS_UNUSABLE when nothing was ever read
 */
export function loadHistory(store: Store, plant: Plant): SiteHistory {
  const tracks = storedTracks(store, plant);
  const { firstTime, upTo } = spanOf(tracks);
  if (upTo === 0)
    throw new AppError(
      'READINGS_UNUSABLE',
      'the data folder: found no readings of this plant, expected some to replay',
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
  const taped = words.relearnings.length > 0 ? {} : { tape: RunTape.record(plant, tracks, log, upTo) };
  return { plant, tracks, log, settings, judgements, words, firstTime, upTo, ...taped };
}
