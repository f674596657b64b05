import { expect, test } from 'vitest';
import { makeLoop } from '../../../analyzer/upkeep/make-loop.ts';
import type { RuleOverride } from '../../../analyzer/upkeep/part-rules.ts';
import { DAY, entry, finding, HOUR, NOW, records, sprayedDays } from './hall-of-one.ts';

const usage = () => sprayedDays(100);
const dueOf = (part: string, changes: Parameters<typeof records>[0] = {}) =>
  makeLoop(records({ usage, ...changes })).guns[0]!.due.find((one) => one.part === part);
const only = (override: RuleOverride) => (gun: string | null, part: string) =>
  gun === 'gun-01' && part === 'pump-insert' ? override : null;

test('spray hours left are laid over the shifts at the gun’s own pace', () => {
  // 57 h since were sprayed; 3 h in a shift of 8 h, so that 3 h more take one shift: from Monday noon to Tuesday noon, local time.
  const log = [entry(NOW - 26 * DAY - 5 * HOUR)];
  const due = dueOf('pump-insert', { log, set: only({ sprayHours: 57 + 3 }) })!;
  expect(due.by).toBe('sprayHours');
  expect(Math.abs(due.due! - (NOW + DAY))).toBeLessThan(6 * HOUR);
});

test('whichever of days, hours and kilograms comes first decides', () => {
  const log = [entry(NOW - 4 * DAY)];
  expect(dueOf('pump-insert', { log, set: only({ sprayHours: 60, kilograms: 50 }) })!.by).toBe('kilograms');
  expect(dueOf('pump-insert', { log, set: only({ sprayHours: 6, kilograms: 500 }) })!.by).toBe('sprayHours');
  expect(dueOf('pump-insert', { log, set: only({ sprayHours: 60, days: 5 }) })).toMatchObject({
    by: 'days',
    // The end of the fifth day after, in Vienna.
    due: Date.parse('2026-03-10T22:59:59Z'),
  });
});

test('what is past its interval is due since it ran out', () => {
  const log = [entry(NOW - 60 * DAY)];
  const due = dueOf('pump-insert', { log })!;
  expect(due.due).toBeLessThan(NOW);
  expect(dueOf('pump-insert', { log, now: NOW + DAY })!.due).toBe(due.due);
});

test('a gun that is not used has no date for what goes by hours', () => {
  const still = () => sprayedDays(10, 'gun-01', NOW - 60 * DAY);
  expect(dueOf('pump-insert', { usage: still, log: [entry(NOW - 65 * DAY)] })!.due).toBeNull();
});

test('the air brings work forward, and says so', () => {
  const log = [entry(NOW - 4 * DAY)];
  const open = finding(NOW - DAY, { cause: 'pump-insert', remaining: { sprayHours: { p10: 1, p50: 3, p90: 6 } } });
  const due = dueOf('pump-insert', { log, findings: [open] })!;
  expect(due).toMatchObject({ by: 'air', work: 'change' });
  expect(due.due).toBeLessThan(due.intervalDue!);
  expect(due.why.join('; ')).toContain('brought forward');
});

test('good air may move an insert past its interval, and says so', () => {
  const log = [entry(NOW - 60 * DAY)];
  const views = [{ id: 'gun-01', remaining: { p10: 20, p50: 40, p90: 60 } }] as never;
  const due = dueOf('pump-insert', { log, views })!;
  expect(due.due).toBeGreaterThan(NOW);
  expect(due.why[0]).toMatch(/past its interval because the air shows it well/);
  expect(dueOf('pump-insert', { log, views, set: only({ airMayExtend: false }) })!.due).toBeLessThan(NOW);
});

test('a safety-relevant check is never pushed back, whatever the air shows or anybody sets', () => {
  const log = [entry(NOW - 400 * DAY, { part: 'powder-hose' })];
  const findings = [
    finding(NOW - DAY, { cause: 'powder-hose', remaining: { sprayHours: { p10: 500, p50: 900, p90: 2000 } } }),
  ];
  const set = (_: string | null, part: string) => (part === 'powder-hose' ? { airMayExtend: true } : null);
  const due = dueOf('powder-hose', { log, findings, set })!;
  expect(due).toMatchObject({ safetyRelevant: true, by: 'days', due: due.intervalDue });
  expect(due.due).toBeLessThan(NOW);
});

test('seals have no interval: they are due when the air or a look says so', () => {
  expect(dueOf('pump-seals')).toBeUndefined();
});
