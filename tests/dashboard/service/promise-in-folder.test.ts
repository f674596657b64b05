import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { GunView } from '../../../analyzer/index.ts';
import { Plant } from '../../../collector/contract/index.ts';
import { openStore } from '../../../collector/index.ts';
import { silentLog } from '../../../collector/log.ts';
import { addPromise } from '../../../commands/promise.ts';
import { ViewsKeeper } from '../../../dashboard/service/kept-views.ts';
import { recordPlant } from '../../../dashboard/service/plant-record.ts';
import { promiseInFolder } from '../../../dashboard/service/promise-in-folder.ts';
import { findingOf, hour } from '../../analyzer/study/finding-of.ts';
import { tempDir } from '../../collector/store/temp-dir.ts';
import { remarks } from '../../commands/remarks.ts';
import { wellView } from '../hall-guns.ts';

const CHANGE: NonNullable<GunView['silentChanges']>[number] = {
  ...{ part: 'pump-insert', time: hour(30), noticed: hour(33), before: 0.2, after: 0.02, sd: 0.03 },
  ...{ sprayHours: 60, counted: true },
};
const WITHOUT =
  'without changes that nobody logged on Booth 1 left: no service of this version has kept them here yet; findings that they may explain count as not judged';

/** A folder with two guns, on the first of which an insert's finding and a filter's cleared with nothing logged, and what a service kept there. */
async function folder(...views: readonly GunView[]): Promise<string> {
  const dir = join(tempDir(), 'data');
  const store = openStore(dir, { create: true });
  recordPlant(
    store,
    Plant.parse({
      site: { id: 'hall-2', timezone: 'Europe/Vienna' },
      guns: [{ id: 'gun-01', name: 'Booth 1 left' }, { id: 'gun-02' }],
    }),
  );
  store.findings.save([findingOf('pump-insert', 10, 40), findingOf('conveying-filter', 10, 40)], hour(40));
  const keeper = new ViewsKeeper(store, silentLog);
  keeper.update(views);
  await keeper.stop();
  store.close();
  return dir;
}
const view = (silentChanges?: GunView['silentChanges']): GunView => ({
  ...wellView(0, 'Booth 1 left', 0.3),
  ...(silentChanges === undefined ? {} : { silentChanges }),
});

test('a folder’s promise takes what a service last kept of the guns', async () => {
  expect(promiseInFolder(await folder(view([CHANGE])))).toMatchObject({
    observed: { wrong: 1, right: 0, notJudged: 1 },
    missing: [],
  });
  expect(promiseInFolder(await folder(view([])))).toMatchObject({
    observed: { wrong: 2, right: 0, notJudged: 0 },
    missing: [],
  });
});

test.each([
  ['nothing was kept', []],
  ['an older service kept views that say nothing of changes', [view()]],
])('where %s, it says so and calls no finding wrong that a change may explain', async (_what, views) => {
  const dir = await folder(...views);
  expect(promiseInFolder(dir)).toMatchObject({ observed: { wrong: 1, right: 0, notJudged: 1 }, missing: [WITHOUT] });
  expect(await remarks(addPromise, 'promise', '--data', dir, '--gun-years', '0')).toEqual({
    text: `${WITHOUT}\n`,
    status: 0,
  });
});
