import { StudyDesk } from '../../dashboard/server/index.ts';
import { PromiseDesk } from '../../dashboard/service/promise-desk.ts';
import { studyFolder } from '../../dashboard/service/study-folder.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { manualClock } from '../dashboard/manual-clock.ts';
import type { deskSources } from '../dashboard/tuning/open-desk.ts';
import { madeUpStudies } from './made-up-studies.ts';

/** What a desk shows, with studies whose answers are made up. */
export function studyingSources({ sources }: ReturnType<typeof deskSources>) {
  const { plant, tuning } = sources;
  const observed = { gunYears: 1, wrong: 0, right: 0, notJudged: 0, enough: false, perGunYear: null };
  return {
    ...sources,
    promise: new PromiseDesk({ observed: () => observed, simulate: null }),
    tuning: {
      ...tuning!,
      studies: new StudyDesk(madeUpStudies(plant), studyFolder(tempDir(), 1000, 10, manualClock(NOON))),
    },
  };
}
