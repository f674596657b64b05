import ICAL from 'ical.js';
import { expect, test } from 'vitest';
import { makeLoop } from '../../../../analyzer/upkeep/make-loop.ts';
import { calendarText } from '../../../../dashboard/server/upkeep/ical.ts';
import { planEvents } from '../../../../dashboard/server/upkeep/plan-events.ts';
import { DAY, entry, finding, NOW, records, sprayedDays } from '../../../analyzer/upkeep/hall-of-one.ts';

// ical.js is an iCalendar reader of its own: what it reads back is what others will see.
const read = (text: string) =>
  new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map((one) => new ICAL.Event(one));

const HALL = { id: 'hall-2', timezone: 'Europe/Vienna' };
const EVENT = {
  uid: 'gun-01~nozzle~1@hall-2',
  start: Date.parse('2026-03-09T13:00:00Z'),
  end: Date.parse('2026-03-09T13:30:00Z'),
  summary: 'Booth 1, left; "new" \\ nozzle',
  description: `Grüße an die Frühschicht, äöü ${'Düse prüfen, '.repeat(20)}\nzweite Zeile; 日本語 🎨`,
  categories: ['a,b', 'check'],
  changed: Date.parse('2026-03-01T06:00:00Z'),
  sequence: 3,
};

test('another reader gets back what was written, whatever characters it holds', () => {
  const [event] = read(calendarText('Plan, of hall 2', 'Europe/Vienna', [EVENT]));
  expect(event!.uid).toBe(EVENT.uid);
  expect(event!.summary).toBe(EVENT.summary);
  expect(event!.description).toBe(EVENT.description);
  expect(event!.startDate.toJSDate().getTime()).toBe(EVENT.start);
  expect(event!.endDate.toJSDate().getTime()).toBe(EVENT.end);
  expect(event!.sequence).toBe(3);
  expect(event!.component.getFirstProperty('categories')!.getValues()).toEqual(EVENT.categories);
});

// RFC 5545 section 3.1: lines end with CRLF and are at most 75 octets long; section 3.6.1: UID and DTSTAMP once each.
test('lines are folded at 75 octets without cutting a character, and end with CRLF', () => {
  const text = calendarText('Plan', 'Europe/Vienna', [EVENT]);
  const lines = text.split('\r\n');
  expect(lines.pop()).toBe('');
  for (const line of lines) {
    expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
    expect(line).not.toMatch(/[\r\n\ufffd]/);
  }
  for (const name of ['UID', 'DTSTAMP', 'DTSTART', 'DTEND'])
    expect(lines.filter((line) => line.startsWith(`${name}:`))).toHaveLength(1);
});

// RFC 5545 section 3.6.1: with a DATE, DTEND is the day after; section 3.3.4: a DATE has no zone, so no clock change can move it.
test('work that is due on a day is an event of the whole day, on the plant’s date, over a change of the clock too', () => {
  const whole = calendarText('Plan', 'Europe/Vienna', [{ ...EVENT, day: '2026-12-31' }]);
  expect(whole).toContain('DTSTART;VALUE=DATE:20261231\r\nDTEND;VALUE=DATE:20270101\r\n');
  const [event] = read(whole);
  expect([event!.startDate.isDate, event!.startDate.toString(), event!.endDate.toString()]).toEqual([
    ...[true, '2026-12-31', '2027-01-01'],
  ]);
  // Fitted on 29 March 2025, a year before clocks go forward in the night to the 29th; a check is due by the end of that day.
  const now = Date.parse('2026-03-09T11:00:00Z');
  const log = [entry(Date.parse('2025-03-29T11:00:00Z'), { part: 'powder-hose' })];
  const events = planEvents(makeLoop(records({ usage: () => sprayedDays(20), log, now })), HALL, now, now + 60 * DAY);
  expect(events.find(({ uid }) => uid.includes('powder-hose'))).toMatchObject({ day: '2026-03-29' });
});

test('text cannot break out of its line', () => {
  const [event, ...more] = read(
    calendarText('Plan', 'UTC', [{ ...EVENT, summary: 'x\r\nEND:VEVENT\rBEGIN:VEVENT\u0007' }]),
  );
  expect(more).toEqual([]);
  expect(event!.summary).toBe('x\nEND:VEVENT\nBEGIN:VEVENT ');
});

test('work of the plan keeps the name of its event when it becomes a job', () => {
  const log = [entry(NOW - 4 * DAY)];
  const at = (now: number) =>
    planEvents(
      makeLoop(records({ usage: () => sprayedDays(100, 'gun-01', now), log, now })),
      HALL,
      now,
      NOW + 90 * DAY,
    ).filter(({ uid }) => uid.startsWith('gun-01~pump-insert'));
  const later = at(NOW);
  expect(later).toHaveLength(1);
  const near = at(later[0]!.start - 3 * DAY);
  expect(near.map(({ uid }) => uid)).toEqual([later[0]!.uid]);
});

test('a job stands at its proposed stop, once, and a gun out of service has none', () => {
  const findings = [finding(NOW - DAY)];
  const usage = () => sprayedDays(20);
  const events = planEvents(makeLoop(records({ usage, findings })), HALL, NOW, NOW + DAY);
  expect(events.filter(({ uid }) => uid.includes('seals'))).toMatchObject([
    { start: Date.parse('2026-03-09T13:00:00Z'), summary: 'Booth 1 left: Change the pump seals' },
  ]);
  const outOfService = () => ({ from: NOW - 60_000, until: null, reason: 'being moved' });
  expect(planEvents(makeLoop(records({ usage, findings, outOfService })), HALL, NOW, NOW + 90 * DAY)).toEqual([]);
});
