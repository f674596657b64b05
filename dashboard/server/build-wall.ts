import type { Job } from '../../analyzer/index.ts';
import { CATEGORIES, type GunCondition } from '../../collector/contract/index.ts';
import { lostAfterMs } from './age.ts';
import type { Context } from './endpoint.ts';
import type { LatestReadings } from './sources.ts';
import type { Wall, WallGun, WallJob } from './wall-model.ts';

/** Source: the wall has room for five jobs that can be read at 5 m; who has done one sees the next. */
const JOBS_ON_WALL = 5;

/** What the wall is made of. */
export type WallContext = Pick<Context, 'sources' | 'build'>;

/**
 * The wall as it is now: jobs by rank, guns in the plant file's order.
 *
 * @param now epoch ms
 */
export function buildWall({ sources, build }: WallContext, now: number): Wall {
  const { id, name, timezone, units } = sources.plant.site;
  const jobs = sources.jobs();
  const conditions = new Map(sources.conditions().map((condition) => [condition.id, condition]));
  const views = new Map(sources.views().map((view) => [view.id, view]));
  return {
    now,
    build,
    site: { id, name: name ?? id, timezone, units },
    jobs: jobs.slice(0, JOBS_ON_WALL).map(wallJob),
    jobsInAll: jobs.length,
    guns: sources.plant.guns.map((gun): WallGun => {
      const condition = conditions.get(gun.id);
      const view = views.get(gun.id);
      const latest = sources.latest(gun.id);
      return {
        id: gun.id,
        name: gun.name ?? gun.id,
        state: condition?.state ?? view?.state ?? null,
        causes: causesOf(condition),
        learning: view?.learning ?? null,
        wearLeft: view?.wearLeft ?? null,
        remaining: view?.remaining ?? null,
        actualAir: view?.actualAir ?? null,
        neededAir: view?.neededAir ?? null,
        excessAir: view?.excessAir ?? null,
        changeLimit: view?.changeLimit ?? null,
        usualOutput: view?.usualOutput ?? null,
        powder: view?.powder ?? null,
        newest: latest?.time ?? null,
        lostAfterMs: lostAfterMs(latest?.intervalMs ?? null),
        online: sources.online(gun.id),
        reading: readingOf(latest),
      };
    }),
    analysedTo: analysedTo(sources),
    trouble: sources.notReady(),
  };
}

/** How far analysis and readings may lie apart before the wall says so, ms. Source: own choice, above the half hour that late readings get. */
const BEHIND_MS = 3_600_000;

/** Reading time up to which the analysis has come, where it is still working through a history; null where it keeps up. */
function analysedTo(sources: WallContext['sources']): number | null {
  const newest = Math.max(0, ...sources.plant.guns.map(({ id }) => sources.latest(id)?.time ?? 0));
  const known = sources.analysedTo?.() ?? null;
  return known !== null && newest - known > BEHIND_MS ? known : null;
}

function wallJob(job: Job): WallJob {
  return {
    gun: job.gun,
    gunName: job.gunName,
    part: job.part,
    cause: job.cause,
    category: job.category,
    action: job.action,
    reason: job.reason,
    byShifts: job.byShifts,
    bySprayHours: job.bySprayHours,
    probability: 'source' in job && job.source === 'plan' ? null : job.probability,
    checkFirst: job.benchCheck?.part ?? null,
    raised: job.finding.raised,
  };
}

function causesOf(condition: GunCondition | undefined): string[] {
  if (!condition) return [];
  const open = [...condition.findings].sort((a, b) => CATEGORIES.indexOf(a.category) - CATEGORIES.indexOf(b.category));
  // Two findings may have come to the same cause.
  return [...new Set(open.map(({ cause }) => cause))];
}

function readingOf(latest: LatestReadings | null): WallGun['reading'] {
  const number = (value: unknown): number | null => (typeof value === 'number' ? value : null);
  const spraying = latest?.values.trigger?.value;
  return {
    spraying: typeof spraying === 'boolean' ? spraying : null,
    flow: number(latest?.values['conveying/flow']?.value),
    pressure: number(latest?.values['conveying/pressure']?.value),
    output: number(latest?.values['powder/output']?.value),
  };
}
