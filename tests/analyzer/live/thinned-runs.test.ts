import { expect, test } from 'vitest';
import { StationCutter } from '../../../analyzer/live/station-cutter.ts';
import { cutContexts } from '../../../analyzer/runs/track.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from '../../collector/store/temp-dir.ts';
import { packsOf } from './live-hall.ts';
import { madeUpHall, PLANT } from './made-up-hall.ts';

test('runs outlive their raw readings, also where the analysis has to begin anew', async () => {
  const frames = madeUpHall(3).get('gun-1')!;
  const last = frames.times.at(-1)!;
  const dir = tempDir();
  const writer = await startWriter(dir);
  await writer.commit({ packs: packsOf(frames, 5000) });
  await writer.settle();
  const store = openStore(dir);
  const cut = (): StationCutter => {
    const cutter = new StationCutter(cutContexts(PLANT).get('gun-1')!, () => last);
    cutter.resume(store);
    cutter.flush(store);
    return cutter;
  };
  cut();
  const before = [...store.runs.load('gun-1').columns.start];
  await writer.retain({ rawDays: 1.5, thinnedDays: 0, runsDays: 0, thinnedMinutes: 10 }, last);
  const { rawFrom } = store.readings.thinnedAway('gun-1')!;
  expect(before.filter((start) => start < rawFrom).length).toBeGreaterThan(50);
  // As after an upgrade whose states mean something else.
  for (const key of store.states.keys('live/')) store.states.delete(key);
  cut();
  const after = [...store.runs.load('gun-1').columns.start];
  expect(after.filter((start) => start < rawFrom)).toEqual(before.filter((start) => start < rawFrom));
  // Where the raw readings begin a run may be cut; a little later all is as it was.
  const settled = rawFrom + 600_000;
  expect(after.filter((start) => start > settled)).toEqual(before.filter((start) => start > settled));
  // A late reading of that time changes nothing that is there.
  await writer.commit({
    packs: [
      { station: 'gun-1', times: [frames.times[5]! + 1], channels: [0], values: [1.5], strings: [], provenance: '' },
    ],
  });
  const cutter = cut();
  expect([...store.runs.load('gun-1').columns.start]).toEqual(after);
  cutter.note(frames.times[5]! + 1, frames.times[5]! + 1);
  cutter.catchUp(store);
  cutter.flush(store);
  expect([...store.runs.load('gun-1').columns.start]).toEqual(after);
  await writer.stop();
  store.close();
});
