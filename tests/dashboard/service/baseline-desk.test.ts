import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type GunView, gunBaseline, storedViews } from '../../../analyzer/index.ts';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import type { BaselineSource } from '../../../dashboard/server/index.ts';
import { baselineDesk } from '../../../dashboard/service/baseline-desk.ts';
import { liveOver, openHall, packsOf, workOff } from '../../analyzer/live/live-hall.ts';
import { PLANT, START } from '../../analyzer/live/made-up-hall.ts';
import { wearingHall } from '../../analyzer/live/wearing-hall.ts';

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
/** The insert of gun-1 is changed before the shift of this day. */
const CHANGED = START + 13 * DAY_MS;

let hall: Awaited<ReturnType<typeof openHall>>;
let live: ReturnType<typeof liveOver>;
let desk: BaselineSource;

beforeAll(async () => {
  hall = await openHall();
  const { frames, log } = wearingHall();
  for (const one of frames.values()) await hall.writer.commit({ packs: packsOf(one, 20_000) });
  // The change of the worn insert is what nobody wrote down.
  for (const entry of log)
    if (entry.part !== 'pump-insert' || entry.time < START)
      hall.store.log.add(entry, { recordedAt: 0, source: 'test' });
  live = liveOver(hall.store, PLANT, sitePipeline);
  workOff(live.analyzer, live.clock);
  desk = baselineDesk({
    ...{ store: hall.store, plant: PLANT, source: 'api', now: () => live.clock.now },
    views: () => live.analyzer.shown?.views ?? [],
    changed: () => {
      live.analyzer.recordsChanged();
      workOff(live.analyzer, live.clock);
    },
  });
}, 120_000);
afterAll(() => hall.close());

const view = (): GunView => live.analyzer.shown!.views.find(({ id }) => id === 'gun-1')!;
const findings = (): string[] =>
  live.analyzer.shown!.findings.map(({ gun, cause, raised, onset }) => `${gun} ${cause} ${raised} ${onset}`);

describe('a change that nobody logged', () => {
  test('is offered with the time at which the air shows it', () => {
    const [offered, ...more] = desk.offered();
    expect(more).toEqual([]);
    expect(offered).toMatchObject({ gun: 'gun-1', part: 'pump-insert', counted: true });
    expect(Math.abs(offered!.time - CHANGED)).toBeLessThan(2 * HOUR_MS);
    expect(offered!.before).toBeGreaterThan(0.15);
    expect(offered!.after).toBeLessThan(0.1);
    expect(view().insertLogged).toBe(false);
  });

  test('confirmed it is in the log, and offered again when the entry is taken back', () => {
    const offered = desk.offered()[0]!;
    const entry = desk.confirm({ ...offered, doneAt: null, found: 'worn', note: '' }, 'Anna');
    expect(entry).toMatchObject({ gun: 'gun-1', part: 'pump-insert', action: 'replaced', found: 'worn', who: 'Anna' });
    expect(entry.time).toBe(offered.time);
    expect(desk.offered()).toEqual([]);
    expect(view()).toMatchObject({ insertLogged: true, insertSince: offered.time, silentChanges: [] });
    expect(() => desk.confirm({ ...offered, doneAt: null, found: null, note: '' }, 'Ben')).toThrow(/waits for a word/);

    hall.store.log.correct(entry.id, { recordedAt: 1, source: 'api', who: 'Anna', why: 'undo', replacement: null });
    live.analyzer.recordsChanged();
    workOff(live.analyzer, live.clock);
    expect(desk.offered()).toEqual([offered]);
  });

  test('dismissed it counts no more and is not offered again, until that is taken back', () => {
    const offered = desk.offered()[0]!;
    const { id } = desk.dismiss({ ...offered, reason: 'the powder was another' }, 'Ben');
    expect(desk.offered()).toEqual([]);
    expect(desk.dismissals()).toMatchObject([{ gun: 'gun-1', reason: 'the powder was another', who: 'Ben' }]);
    expect(view()).toMatchObject({ insertSince: START - HOUR_MS / 2, insertLogged: true });
    desk.undoDismissal(id, 'Ben');
    expect(desk.offered()).toEqual([offered]);
    expect(() => desk.undoDismissal(id, 'Ben')).toThrow(/no dismissal/);
  });

  test('a time far from what the air shows is refused', () => {
    const offered = desk.offered()[0]!;
    const at = (doneAt: number) => ({ ...offered, doneAt, found: null, note: '' }) as const;
    const refusal =
      /doneAt: found .*, expected a time from .* to .*: the air shows the change at .*, and it was noticed at/;
    expect(() => desk.confirm(at(offered.time - 13 * HOUR_MS), 'Anna')).toThrow(refusal);
    expect(() => desk.confirm(at(Math.max(offered.noticed, offered.time + 12 * HOUR_MS) + 1), 'Anna')).toThrow(refusal);
    expect(desk.offered()).toEqual([offered]);
  });
});

describe('a baseline learnt anew', () => {
  const from = START + 9 * DAY_MS;

  test('takes effect at once, leaves what was raised, outlives a restart and is taken back', () => {
    const before = findings();
    expect(before.length).toBeGreaterThan(1);
    const { id } = desk.relearn({ gun: 'gun-1', from, reason: 'another pump' }, 'Anna');
    expect(view().learntFrom).toBe(from);
    expect(findings()).toEqual(before);

    live.analyzer.flush();
    const again = liveOver(hall.store, PLANT, sitePipeline);
    workOff(again.analyzer, again.clock);
    expect(again.analyzer.shown!.views).toEqual(live.analyzer.shown!.views);
    expect(storedViews(hall.store, PLANT)).toEqual(live.analyzer.shown!.views);

    desk.undoRelearning(id, 'Ben');
    expect(view().learntFrom).toBeNull();
    expect(findings()).toEqual(before);
    expect(desk.relearnings()).toMatchObject([{ who: 'Anna', undoneBy: 'Ben', reason: 'another pump' }]);
    expect(() => desk.undoRelearning(id, 'Ben')).toThrow(/still holds/);
  });

  test('refuses a gun or a time that has nothing to learn from', () => {
    const ask = (gun: string, time: number) => () => desk.relearn({ gun, from: time, reason: 'x' }, 'Anna');
    expect(ask('gun-9', from)).toThrow(/#\/gun: found "gun-9", expected a gun of the plant: gun-1, gun-2, gun-3/);
    expect(ask('gun-1', START - DAY_MS)).toThrow(/#\/from: found .* between the gun's first reading/);
    expect(ask('gun-1', START + 40 * DAY_MS)).toThrow(/#\/from/);
  });

  test('the baseline tells which runs taught it, and which were left out and why', () => {
    const plain = gunBaseline(hall.store, PLANT, 'gun-1');
    expect(plain).toMatchObject({ lacking: null, learntAnew: false });
    expect(plain.counted.taught).toBeGreaterThan(0);
    expect(plain.counted.later).toBeGreaterThan(plain.counted.taught);
    const taught = plain.points.filter(({ kind }) => kind === 'taught');
    expect(Math.max(...taught.map(({ from: start }) => start))).toBeLessThan(START + 2 * DAY_MS);
    expect(plain.powders[0]!.usual.air).toBeCloseTo(view().neededAir!, 6);
    for (const { low, air, high } of plain.powders[0]!.curve) expect(low < air && air < high).toBe(true);

    const excluded = { gun: 'gun-1', from: START + 5 * DAY_MS, to: START + 6 * DAY_MS, reason: 'trial' };
    const span = hall.store.truths.exclude(excluded, { at: 1, who: 'Anna' });
    const { id } = desk.relearn({ gun: 'gun-1', from, reason: 'another pump' }, 'Anna');
    const anew = gunBaseline(hall.store, PLANT, 'gun-1');
    expect(anew).toMatchObject({ from, learntAnew: true });
    const why = new Set(anew.points.filter(({ kind }) => kind === 'left-out').map((point) => point.why));
    expect(why).toContain('trial');
    expect(why).toContain('before the baseline was learnt anew');
    expect(
      Math.min(...anew.points.filter(({ kind }) => kind === 'taught').map((one) => one.from)),
    ).toBeGreaterThanOrEqual(from);
    desk.undoRelearning(id, 'Anna');
    hall.store.truths.undoExclusion(span.id, { at: 2, who: 'Anna' });
  });
});
