import { expect, test } from 'vitest';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import type { Finding } from '../../../collector/contract/index.ts';
import { runsFrom } from '../../../collector/index.ts';
import { everyFinding } from '../../../dashboard/service/every-finding.ts';
import { liveOver, openHall, packsOf, workOff } from './live-hall.ts';
import { PLANT, START } from './made-up-hall.ts';
import { wearingHall } from './wearing-hall.ts';

const DAY_MS = 86_400_000;
const { frames, log } = wearingHall();
const keyOf = ({ gun, cause, raised }: Finding): string => `${gun} ${cause} ${raised}`;

test('where runs of before are gone, what was found in them stays, ends, and it is said', async () => {
  const hall = await openHall();
  const { store, writer } = hall;
  try {
    for (const entry of log) store.log.add(entry, { recordedAt: 0, source: 'test' });
    const { analyzer, clock } = liveOver(store, PLANT, sitePipeline);
    for (const pack of [...frames.values()].flatMap((one) => packsOf(one, 2000)))
      analyzer.committed((await writer.commit({ packs: [pack] })).stations);
    const before = workOff(analyzer, clock);
    analyzer.flush();
    const last = START + 16 * DAY_MS;
    await writer.settle();
    await writer.retain({ rawDays: 8, thinnedDays: 0, runsDays: 8, thinnedMinutes: 10 }, last);
    const from = runsFrom(store.states);
    expect(from).toBeGreaterThan(START + 6 * DAY_MS);
    const isOld = ({ raised }: Finding): boolean => Date.parse(raised) < from;
    expect(before.filter(isOld).length).toBeGreaterThan(1);
    // What is known goes on: nothing is said, nothing changes.
    expect(workOff(analyzer, clock)).toEqual(before);
    expect(store.audit.list()).toEqual([]);

    const check = (shown: readonly Finding[]): void => {
      const all = everyFinding(store)({ findings: shown, asOf: last });
      // Each of before is there, once, as it was found; those that were open are shown still, or end where the runs begin.
      for (const old of before.filter(isOld)) {
        const now = all.filter((one) => keyOf(one) === keyOf(old));
        expect(now, keyOf(old)).toHaveLength(1);
        if (old.cleared !== null && Date.parse(old.cleared) < from) expect(now[0]).toEqual(old);
        else if (!shown.some((one) => keyOf(one) === keyOf(old)))
          expect(Date.parse(now[0]!.cleared!)).toBeLessThanOrEqual(last);
      }
      // Nothing is open but what is shown.
      const open = store.findings
        .list()
        .filter(({ finding, withdrawnAt }) => finding.cleared === null && withdrawnAt === null);
      for (const { finding } of open) expect(shown.map(keyOf)).toContain(keyOf(finding));
      // Nothing is found in a time without runs.
      for (const { raised } of shown) expect(Date.parse(raised)).toBeGreaterThanOrEqual(START);
    };
    // An entry of long ago.
    store.log.add(
      { time: START + DAY_MS, gun: 'gun-3', part: 'nozzle', action: 'replaced', found: null, note: '' },
      { recordedAt: 1, source: 'test' },
    );
    analyzer.recordsChanged();
    check(workOff(analyzer, clock));
    analyzer.flush();

    // As after an upgrade whose states mean something else: all begins anew.
    for (const key of store.states.keys('live/')) store.states.delete(key);
    const anew = liveOver(store, PLANT, sitePipeline);
    check(workOff(anew.analyzer, anew.clock));
    const said = store.audit.list().filter(({ what }) => what === 'analysis begun anew');
    expect(said.length).toBeGreaterThan(0);
    expect(said[0]!.detail).toContain(new Date(from).toISOString());
  } finally {
    await hall.close();
  }
});
