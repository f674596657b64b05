import { describe, expect, it } from 'vitest';
import { isoWithOffset, localDate, shopDay } from '../../../simulators/calendar/shop-day.ts';
import { WorkDays } from '../../../simulators/calendar/work-days.ts';

const PATTERN = {
  starts: ['06:00', '14:00'],
  hours: 8,
  breaks: [{ afterMinutes: 180, minutes: 15 }],
  weekdays: [1, 2, 3, 4, 5],
};

describe('a day of a hall', () => {
  it('starts at the local hour on both sides of daylight saving', () => {
    // Summer time began in Vienna on Sunday 2026-03-29 at 02:00; source: EU directive 2000/84/EC, last Sunday of March.
    const friday = shopDay(PATTERN, 'Europe/Vienna', '2026-03-27', new Set());
    const monday = shopDay(PATTERN, 'Europe/Vienna', '2026-03-30', new Set());
    expect(new Date(friday.shifts[0]!.start).toISOString()).toBe('2026-03-27T05:00:00.000Z');
    expect(new Date(monday.shifts[0]!.start).toISOString()).toBe('2026-03-30T04:00:00.000Z');
  });

  it('keeps the length of a night shift over the change', () => {
    const night = { ...PATTERN, starts: ['22:00'], weekdays: [6] };
    const { shifts } = shopDay(night, 'Europe/Vienna', '2026-03-28', new Set());
    expect(shifts[0]!.end - shifts[0]!.start).toBe(8 * 3_600_000);
    expect(isoWithOffset(shifts[0]!.end, 'Europe/Vienna')).toBe('2026-03-29T07:00:00+02:00');
  });

  it('has no shift at weekends and on days off', () => {
    expect(shopDay(PATTERN, 'Europe/Vienna', '2026-03-28', new Set()).shifts).toEqual([]);
    expect(shopDay(PATTERN, 'Europe/Vienna', '2026-03-27', new Set(['2026-03-27'])).shifts).toEqual([]);
  });

  it('belongs to the local date', () => {
    expect(localDate(Date.parse('2026-01-01T23:30:00Z'), 'Asia/Tokyo')).toBe('2026-01-02');
  });
});

describe('working time', () => {
  const work = new WorkDays(PATTERN, 'Europe/Vienna', '2026-03-26', 6, new Set());

  it('counts only shifts', () => {
    const from = Date.parse('2026-03-27T00:00:00+01:00');
    const to = Date.parse('2026-03-30T07:00:00+02:00');
    expect(work.workedMs(from, to)).toBe(17 * 3_600_000);
  });

  it('is found again from its share and its length', () => {
    const moment = work.moment(0.4);
    const total = work.workedMs(work.span.start, work.span.end);
    expect(work.workedMs(work.span.start, moment)).toBeCloseTo(0.4 * total, 0);
    expect(work.after(work.span.start, 0.4 * total)).toBeCloseTo(moment, 0);
  });

  it('notices the day on which clocks were moved', () => {
    expect(work.clockChanges).toEqual([Date.parse('2026-03-30T06:00:00+02:00')]);
  });
});
