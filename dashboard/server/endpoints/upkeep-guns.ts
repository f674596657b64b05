import { z } from 'zod';
import { BENCH_CHECKS, CAUTIONS } from '../../../analyzer/index.ts';
import { PART_IDS, parseTime } from '../../../collector/contract/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import { RequestFault } from '../problem.ts';
import { dueShown, partsShown } from '../upkeep/shown.ts';
import { Checks, DueShown, GunPage, PartShown, StatedService } from '../upkeep/upkeep-model.ts';
import { noGun } from './upkeep-jobs.ts';

const DAY_MS = 86_400_000;
const OneGun = z.strictObject({ gun: z.string().max(40).optional() });

export const parts = endpoint({
  method: 'get',
  path: '/api/parts',
  role: 'wall',
  summary: 'Parts on guns: fitted since, spray hours, kilograms and days since, expected remaining',
  query: OneGun,
  success: { 200: 'Parts in the order of plant and contract; times in epoch ms' },
  answer: z.array(PartShown),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle({ sources }, { query: { gun } }) {
    const guns = sources.upkeep.loop().guns.filter((one) => gun === undefined || one.gun === gun);
    if (gun !== undefined && guns.length === 0) noGun(gun);
    return ok(guns.flatMap(partsShown));
  },
});

export const due = endpoint({
  method: 'get',
  path: '/api/due',
  role: 'wall',
  summary: 'What the plan asks for, by due time: intervals by days, spray hours or kilograms, joined with condition',
  query: OneGun.extend({ days: z.coerce.number().int().min(0).max(400).default(60) }),
  success: { 200: 'Due work; times in epoch ms' },
  answer: z.array(DueShown),
  problems: ['QUERY_INVALID', 'NOT_FOUND'],
  handle({ sources, clock }, { query: { gun, days } }) {
    const now = clock.now();
    const loop = sources.upkeep.loop();
    const guns = loop.guns.filter((one) => gun === undefined || one.gun === gun);
    if (gun !== undefined && guns.length === 0) noGun(gun);
    const until = now + days * DAY_MS;
    return ok(
      guns
        .flatMap((one) => dueShown(loop, one, now))
        .filter((one) => one.due !== null && one.due <= until)
        .sort((left, right) => (left.due ?? 0) - (right.due ?? 0)),
    );
  },
});

export const gunPage = endpoint({
  method: 'get',
  path: '/api/guns/:gun',
  role: 'wall',
  summary: 'One gun: parts with counters, due work, jobs, and whether it is in service',
  params: z.strictObject({ gun: z.string().max(40) }),
  success: { 200: 'The gun; times in epoch ms' },
  answer: GunPage,
  problems: ['NOT_FOUND'],
  handle({ sources, clock }, { params: { gun } }) {
    const loop = sources.upkeep.loop();
    const one = loop.guns.find((found) => found.gun === gun) ?? noGun(gun);
    return ok({
      gun,
      name: one.name,
      pace: { ...one.pace },
      sprayed: { ...one.sprayed },
      service: sources.upkeep.service(gun),
      outOfService: one.outOfService,
      parts: partsShown(one),
      due: dueShown(loop, one, clock.now()),
      jobs: loop.jobs.filter((job) => job.gun === gun),
    });
  },
});

const ServiceBody = z
  .strictObject({
    version: z.number().int().min(0),
    outOfService: z
      .strictObject({
        until: z
          .string()
          .max(40)
          .refine((text) => Number.isFinite(parseTime(text)), 'expected ISO 8601 with offset or Unix seconds')
          .nullish(),
        reason: z.string().trim().min(1, 'expected a reason').max(300),
      })
      .nullable()
      .meta({ description: 'Null puts it back into service' }),
  })
  .meta({ id: 'ServiceBody' });

export const stateService = endpoint({
  method: 'put',
  path: '/api/guns/:gun/service',
  role: 'fitter',
  summary: 'Takes a gun out of service, or back in: its alerts are suppressed by design until it sprays again',
  params: z.strictObject({ gun: z.string().max(40) }),
  body: ServiceBody,
  success: { 200: 'As it is now' },
  answer: StatedService,
  problems: ['NOT_FOUND', 'EDITED_MEANWHILE'],
  handle({ sources, clock, who }, { params: { gun }, body: { version, outOfService } }) {
    if (!sources.plant.guns.some(({ id }) => id === gun)) noGun(gun);
    const now = clock.now();
    const until = outOfService?.until ? parseTime(outOfService.until) : null;
    if (until !== null && until <= now) {
      const detail = `"${outOfService?.until}" is past; expected an end after ${new Date(now).toISOString()}`;
      throw new RequestFault('BODY_INVALID', detail, [{ pointer: '#/outOfService/until', detail }]);
    }
    const out = outOfService === null ? null : { from: now, until, reason: outOfService.reason };
    return ok(sources.upkeep.stateService(gun, out, { who, seen: version }));
  },
});

export const checks = endpoint({
  method: 'get',
  path: '/api/checks',
  role: 'wall',
  summary: 'How each part is checked by hand and judged, and the cautions that come before',
  success: { 200: 'Cautions and checks' },
  answer: Checks,
  problems: [],
  handle: () => ok({ cautions: [...CAUTIONS], checks: PART_IDS.map((part) => BENCH_CHECKS[part]) }),
});
