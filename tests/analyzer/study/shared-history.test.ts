import { expect, test } from 'vitest';
import { finish } from '../../../analyzer/index.ts';
import { RunTape } from '../../../analyzer/pipeline-tape.ts';
import { fromShared, sharedHistory, toShared } from '../../../analyzer/study/shared-history.ts';
import { study } from '../../../analyzer/study/study.ts';
import { Settings } from '../../../collector/contract/index.ts';
import { historyOf } from './history-of.ts';

const shown = (value: unknown): string =>
  JSON.stringify(value, (_, part: unknown) => (part instanceof Map ? [...part] : part));

test('a history that another thread has answers alike, and holds no more of its runs than that takes', () => {
  const plain = historyOf(5, 2);
  const tape = finish(RunTape.recording(plain.plant, plain.tracks, plain.log, plain.upTo));
  const span = { from: plain.firstTime, to: plain.upTo + 1 };
  for (const history of [plain, { ...plain, tape }]) {
    const shared = sharedHistory(history);
    // Bundles are written of it: all that was there is there.
    expect(shared.tracks).toEqual(history.tracks);
    const there = fromShared(structuredClone(toShared(shared)));
    for (const [station, { runs }] of there.tracks) {
      const own = history.tracks.get(station)!.runs.columns;
      const counted = ['start', 'end', 'sprayMs', 'powder'];
      expect(Object.keys(runs.columns)).toEqual('tape' in history ? counted : Object.keys(own));
      expect(runs.columns.start.buffer).toBeInstanceOf(SharedArrayBuffer);
      // What lies in shared memory already is not copied once more.
      expect(sharedHistory(shared).tracks.get(station)!.runs.columns.end).toBe(
        shared.tracks.get(station)!.runs.columns.end,
      );
    }
    const settings = Settings.parse({ smallestChange: 0.03 });
    expect(shown(finish(study(there, settings, span)))).toBe(shown(finish(study(history, settings, span))));
  }
});
