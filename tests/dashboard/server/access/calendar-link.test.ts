import ICAL from 'ical.js';
import { expect, test } from 'vitest';
import { openHouse } from './open-house.ts';

test('with accounts a calendar is subscribed to by a token of the role wall in its address, and by nothing else', async () => {
  const house = await openHouse();
  const token = (role: string): string => house.bearer(role as 'wall').Authorization.slice('Bearer '.length);
  expect((await house.get('/api/plan.ics')).status).toBe(401);
  const answer = await house.get(`/api/plan.ics?token=${token('wall')}`);
  expect([answer.status, answer.type]).toEqual([200, 'text/calendar; charset=utf-8']);
  const calendar = new ICAL.Component(ICAL.parse(answer.body as string));
  expect(calendar.getFirstPropertyValue('version')).toBe('2.0');
  // What may do more is not to stand in an address, and the address of the calendar opens nothing else.
  expect((await house.get(`/api/plan.ics?token=${token('engineer')}`)).status).toBe(401);
  expect((await house.get('/api/plan.ics?token=nothing')).status).toBe(401);
  expect((await house.get(`/api/guns?token=${token('wall')}`)).status).toBe(401);
});
