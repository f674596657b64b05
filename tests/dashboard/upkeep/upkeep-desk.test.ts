import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { USUAL_CALENDAR } from '../../../analyzer/index.ts';
import { openStore } from '../../../collector/index.ts';
import { UpkeepDesk } from '../../../dashboard/upkeep/upkeep-desk.ts';
import { DAY, finding, HOUR, NOW, PLANT } from '../../analyzer/upkeep/hall-of-one.ts';

function desk(findings = [finding(NOW - DAY)]) {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-upkeep-'));
  const store = openStore(dir, { create: true });
  onTestFinished(() => {
    store.close();
    rmSync(dir, { recursive: true, force: true });
  });
  let now = NOW;
  const knows = { findings, views: [] };
  const open = new UpkeepDesk({
    ...{ store, plant: PLANT, now: () => now, knows: () => knows, life: () => null, changed: () => undefined },
  });
  const job = () => open.loop().jobs[0]!;
  return { open, store, job, by: (seen: number, who = 'Ada') => ({ who, seen }), move: (ms: number) => (now += ms) };
}

test('of two people who change a job the second is told of the first, and nothing is lost', () => {
  const { open, job, by } = desk();
  const { id } = job();
  open.act(id, { deed: 'acknowledge' }, by(0));
  expect(() => open.act(id, { deed: 'plan', for: NOW + DAY, note: '' }, by(0, 'Bert'))).toThrow(/Ada stated version 1/);
  expect(open.act(id, { deed: 'plan', for: NOW + DAY, note: '' }, by(1, 'Bert'))).toMatchObject({
    version: 2,
    state: 'planned',
    acknowledged: { who: 'Ada' },
    planned: { who: 'Bert' },
  });
});

test('the last step is undone, and both stay on record', () => {
  const { open, store, job, by } = desk();
  const { id } = job();
  open.act(id, { deed: 'acknowledge' }, by(0));
  open.act(id, { deed: 'shelve', until: NOW + DAY, reason: 'waits for seals' }, by(1));
  expect(open.act(id, { deed: 'undo' }, by(2))).toMatchObject({ alert: 'acknowledged', shelved: null, version: 3 });
  const told = store.figures.history().map(({ body }) => (body as { did: string }).did);
  expect(told).toEqual([
    'acknowledged',
    'shelved until 2026-03-10T11:00:00.000Z: waits for seals',
    'undid: shelved until 2026-03-10T11:00:00.000Z: waits for seals',
  ]);
});

test.each([
  [{ deed: 'plan', for: NOW - HOUR, note: '' }, /is past/],
  [{ deed: 'plan', for: NOW + 500 * DAY, note: '' }, /a year ahead/],
  [{ deed: 'shelve', until: NOW - HOUR, reason: 'x' }, /is past/],
  [{ deed: 'shelve', until: NOW + 40 * DAY, reason: 'x' }, /31 days at most/],
  [{ deed: 'unshelve' }, /not on the shelf/],
  [{ deed: 'unplan' }, /not planned/],
  [{ deed: 'done', note: '' }, /goes into the maintenance log/],
  [{ deed: 'undo' }, /nothing to undo/],
] as const)('%o is refused in one sentence', (deed, why) => {
  const { open, job, by } = desk();
  expect(() => open.act(job().id, deed, by(0))).toThrow(why);
  expect(job().version).toBe(0);
});

test('a failure is shelved for a day at most', () => {
  const failed = finding(NOW - DAY, { category: 'failure' });
  const { open, job, by } = desk([failed]);
  expect(() => open.act(job().id, { deed: 'shelve', until: NOW + 2 * DAY, reason: 'x' }, by(0))).toThrow(
    /a day at most/,
  );
});

test('a shelf ends by itself', () => {
  const { open, job, by, move } = desk();
  open.act(job().id, { deed: 'shelve', until: NOW + DAY, reason: 'x' }, by(0));
  expect(job().alert).toBe('shelved');
  move(DAY + 1);
  expect(job()).toMatchObject({ alert: 'unacknowledged', shelved: null });
});

test('an interval for one gun beats that of all, and null goes back', () => {
  const { open, by } = desk();
  const hours = (gun: number) => open.loop().guns[gun]!.parts.find(({ part }) => part === 'pump-insert')!.rule;
  open.stateRule(null, 'pump-insert', { sprayHours: 50 }, by(0));
  open.stateRule('gun-01', 'pump-insert', { sprayHours: 30 }, by(0));
  expect([hours(0).sprayHours, hours(1).sprayHours]).toEqual([30, 50]);
  open.stateRule('gun-01', 'pump-insert', null, by(1));
  expect(hours(0)).toMatchObject({ sprayHours: 50, from: 'site' });
});

test('the calendar moves the proposed stops', () => {
  const { open, job, by } = desk();
  expect(job().stop?.kind).toBe('shift-end');
  open.stateCalendar({ ...USUAL_CALENDAR, colourChanges: [{ days: [1], at: '13:00' }] }, by(0));
  expect(job().stop).toMatchObject({ kind: 'colour-change', at: Date.parse('2026-03-09T12:00:00Z') });
});
