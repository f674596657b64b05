import { z } from 'zod';
import { PART_RULES, RuleOverride, ShiftCalendar } from '../../../analyzer/index.ts';
import { PART_IDS } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { RequestFault } from '../problem.ts';
import { planFeedOf } from '../upkeep/plan-feed.ts';
import { RuleRow, StatedCalendar, StatedRule } from '../upkeep/upkeep-model.ts';
import { noGun } from './upkeep-jobs.ts';

const DAY_MS = 86_400_000;
const version = z.number().int().min(0).meta({ description: 'The version that the writer has seen' });

export const planFeed = endpoint({
  method: 'get',
  path: '/api/plan.ics',
  role: 'wall',
  summary: 'Jobs and due work as a calendar to subscribe to (RFC 5545)',
  query: z.strictObject({
    days: z.coerce.number().int().min(1).max(400).default(92),
    token: z
      .string()
      .max(128)
      .optional()
      .meta({ description: 'A token with the role wall, for calendar programs: they send no header with it' }),
  }),
  success: { 200: 'A calendar' },
  media: 'text/calendar',
  answer: z.string(),
  problems: ['QUERY_INVALID'],
  handle({ sources, clock }, { query: { days } }) {
    return {
      status: 200,
      body: planFeedOf(sources.upkeep, sources.plant, clock.now(), clock.now() + days * DAY_MS),
      headers: { 'Content-Disposition': 'inline; filename="plan.ics"' },
    };
  },
});

export const intervals = endpoint({
  method: 'get',
  path: '/api/intervals',
  role: 'wall',
  summary: 'Usual interval of each part, and what is set for all guns or for one',
  success: { 200: 'Parts in the contract’s order' },
  answer: z.array(RuleRow),
  problems: [],
  handle({ sources }) {
    const set = sources.upkeep.rules();
    return ok(
      PART_IDS.map(
        (part): RuleRow => ({
          part,
          usual: { ...PART_RULES[part], from: 'usual' },
          set: set.filter((one) => one.part === part).map(({ gun, stated }) => ({ gun, stated: { ...stated } })),
        }),
      ),
    );
  },
});

export const stateInterval = endpoint({
  method: 'put',
  path: '/api/intervals/:gun/:part',
  role: 'engineer',
  summary: 'Sets the interval of a part for one gun, or with the gun "all" for the site; null goes back to the usual',
  params: z.strictObject({ gun: z.string().max(40), part: z.enum(PART_IDS) }),
  body: z.strictObject({ version, interval: RuleOverride.nullable() }).meta({ id: 'IntervalBody' }),
  success: { 200: 'As it is now' },
  answer: StatedRule,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE'],
  handle({ sources, who }, { params: { gun, part }, body: { version: seen, interval } }) {
    const one = sources.plant.guns.find(({ id }) => id === gun);
    if (gun !== 'all' && one === undefined) noGun(gun);
    if (one?.parts !== undefined && !one.parts.includes(part)) {
      const detail = `"${gun}" has no ${part} by the plant file; expected one of ${one.parts.join(', ')}`;
      throw new RequestFault('BODY_INVALID', detail, [{ pointer: '#', detail }]);
    }
    return ok({ ...sources.upkeep.stateRule(gun === 'all' ? null : gun, part, interval, { who, seen }) });
  },
});

export const calendar = endpoint({
  method: 'get',
  path: '/api/calendar',
  role: 'wall',
  summary: 'Shifts, holidays, planned stops and colour changes, in the plant’s local time',
  success: { 200: 'The calendar, with its version' },
  answer: StatedCalendar,
  problems: [],
  handle: ({ sources }) => ok({ ...sources.upkeep.calendar() }),
});

export const stateCalendar = endpoint({
  method: 'put',
  path: '/api/calendar',
  role: 'engineer',
  summary: 'Sets shifts, holidays, planned stops and colour changes',
  body: z.strictObject({ version, calendar: ShiftCalendar }).meta({ id: 'CalendarBody' }),
  success: { 200: 'As it is now' },
  answer: StatedCalendar,
  problems: ['EDITED_MEANWHILE'],
  handle: ({ sources, who }, { body: { version: seen, calendar: stated } }) =>
    ok({ ...sources.upkeep.stateCalendar(stated, { who, seen }) }),
});
