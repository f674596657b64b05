import { afterAll, expect, test } from 'vitest';
import { cutSite } from '../../../analyzer/analyze-site.ts';
import { byRaised } from '../../../analyzer/index.ts';
import { HELD } from '../../../analyzer/live/held-runs.ts';
import { LiveAnalyzer } from '../../../analyzer/live/live-analyzer.ts';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import { type Finding, type Frames, type Pack, Settings } from '../../../collector/contract/index.ts';
import type { Store } from '../../../collector/index.ts';
import { openHall, packsOf, workOff } from './live-hall.ts';
import { dayOfYear, YEAR_PLANT, yearHall } from './year-hall.ts';

/** The whole year where asked for; else its first third, with what comes late in it. */
const WHOLE = process.env.TEST_YEAR === '1';
const { days, log } = yearHall(WHOLE ? 364 : 126);
const packsOfDay = (day: number): Pack[] => [...days[day]!.values()].flatMap((frames) => packsOf(frames, 20_000));
const text = (findings: readonly Finding[]): string[] => [...findings].sort(byRaised).map((one) => JSON.stringify(one));
const hall = await openHall();
afterAll(() => hall.close());

/** A day of one gun that comes two months late, and days of another that come a week late. */
const LATE = WHOLE ? { day: 150, gun: 'gun-1', until: 210 } : { day: 37, gun: 'gun-1', until: 80 };
const WEEK = { from: WHOLE ? 252 : 91, to: WHOLE ? 257 : 96, gun: 'gun-2', until: WHOLE ? 263 : 102 };
const isHeldBack = (day: number, gun: string): boolean =>
  (day === LATE.day && gun === LATE.gun) || (day >= WEEK.from && day < WEEK.to && gun === WEEK.gun);
/** Logged weeks after it was done. */
const FORGOTTEN_UNTIL = WHOLE ? 230 : 112;
/** A baseline that is learnt anew from far back. */
const ANEW = WHOLE ? { from: 100, decided: 300 } : { from: 42, decided: 105 };
const FORGOTTEN = log.find(({ part }) => part === 'pump-seals')!;

/** All in one go, without a store: what must come out. */
function inOneGo(): Finding[] {
  function* blocks(station: string): Generator<Frames> {
    for (const day of days) if (day.has(station)) yield day.get(station)!;
  }
  const stations = YEAR_PLANT.guns.map(({ id }) => id);
  const { tracks, upTo } = cutSite(YEAR_PLANT, { stations, blocks, rangeFacts: [], clockFacts: [] });
  const settings = [{ version: 1, adopted: 0, settings: Settings.parse({}) }];
  const context = { plant: YEAR_PLANT, settings, words: hall.store.baselines.words() };
  const state = sitePipeline.init(context);
  sitePipeline.advance(context, state, tracks, log, upTo, []);
  return sitePipeline.findings(context, state);
}

/** Bytes of the newest states that a restart reads, and how many are kept in all. */
function newestStates({ states }: Store): { bytes: number; kept: number } {
  const newest = new Map<string, string>();
  const keys = states.keys('live/').filter((key) => /\/\d{15}$/.test(key));
  for (const key of keys) newest.set(key.slice(0, -15), key);
  return { bytes: [...newest.values()].reduce((sum, key) => sum + states.get(key)!.length, 0), kept: keys.length };
}

test('a service that is started anew each month finds in a year what one look at all of it finds, and holds no more of it than at first', async () => {
  const { store, writer } = hall;
  const clock = { now: dayOfYear(0) };
  const start = (): LiveAnalyzer<unknown> => {
    const options = { store, plant: YEAR_PLANT, now: () => clock.now, holding: HELD };
    const analyzer = new LiveAnalyzer({ ...options, pipeline: sitePipeline }) as unknown as LiveAnalyzer<unknown>;
    analyzer.resume();
    return analyzer;
  };
  let analyzer = start();
  const send = async (packs: Pack[]): Promise<void> => {
    if (packs.length > 0) analyzer.committed((await writer.commit({ packs })).stations);
  };
  const write = (entry: (typeof log)[number]): void =>
    void store.log.add(entry, { recordedAt: clock.now, source: 'test' });
  const kept: { bytes: number; kept: number }[] = [];
  for (let day = 0; day < days.length; day++) {
    const [from, to] = [dayOfYear(day) - 3_600_000, dayOfYear(day + 1) - 3_600_000];
    for (const entry of log) if (entry !== FORGOTTEN && entry.time >= from && entry.time < to) write(entry);
    await send(packsOfDay(day).filter(({ station }) => !isHeldBack(day, station)));
    if (day === LATE.until) await send(packsOfDay(LATE.day).filter(({ station }) => station === LATE.gun));
    if (day === WEEK.until)
      for (let late = WEEK.from; late < WEEK.to; late++)
        await send(packsOfDay(late).filter(({ station }) => station === WEEK.gun));
    if (day === FORGOTTEN_UNTIL) write(FORGOTTEN);
    if (day === ANEW.decided)
      store.baselines.relearn(
        { gun: 'gun-3', from: dayOfYear(ANEW.from), decided: dayOfYear(ANEW.decided - 1), reason: 'another recipe' },
        { at: clock.now, who: 'test' },
      );
    clock.now += 86_400_000;
    if (day % 7 === 5) continue;
    analyzer.recordsChanged();
    workOff(analyzer, clock);
    if (day % 3 === 0) analyzer.flush();
    if (day % 28 !== 27) continue;
    analyzer.flush();
    kept.push(newestStates(store));
    analyzer = start();
  }
  analyzer.recordsChanged();
  workOff(analyzer, clock);
  analyzer.flush();
  const expected = text(inOneGo());
  expect(expected.length).toBeGreaterThan(5);
  expect(text(store.findings.list().map(({ finding }) => finding))).toEqual(expected);
  // What is shown is what is open or was cleared of late.
  const shown = text(analyzer.shown?.findings ?? []);
  expect(shown.length).toBeLessThan(expected.length);
  expect(expected).toEqual(expect.arrayContaining(shown));
  // What a restart reads is no more at the end than after two months, but for some lists that fill up.
  expect(kept.at(-1)!.bytes).toBeLessThan(1.25 * kept[1]!.bytes);
}, 900_000);
