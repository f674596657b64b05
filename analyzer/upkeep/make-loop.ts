import type { Finding, PartId, Plant } from '../../collector/contract/index.ts';
import { pressing } from '../advise/make-jobs.ts';
import type { GunView } from '../views.ts';
import { type DueWork, dueWork } from './due-work.ts';
import { episodesOf } from './episodes.ts';
import { findingJob } from './finding-job.ts';
import { fittedParts, type HoursLeft, partsOf } from './fitted-parts.ts';
import type { LoopJob } from './loop-job.ts';
import { type GunUpkeep, type LoopRecords, PLAN_AHEAD_MS } from './loop-records.ts';
import { closedPlanJobs, planJob } from './plan-job.ts';
import { sprayPace } from './spray-pace.ts';
import { proposeStops } from './stops.ts';
import { sprayedBetween } from './usage.ts';

export interface Loop {
  readonly guns: readonly GunUpkeep[];
  /** Open, planned, done ones by rank; then those that ended, newest first. */
  readonly jobs: readonly LoopJob[];
}

/** A gun that is out of service and sprays longer than this is in service. Source: own choice: longer than a trial. */
const BACK_IN_SERVICE_HOURS = 0.5;

/** The maintenance loop as it stands: parts with their counters, due work, and all jobs with their course. */
export function makeLoop(records: LoopRecords): Loop {
  const { plant, now } = records;
  const guns = plant.guns.map((gun) => gunUpkeep(records, gun));
  const byGun = new Map(guns.map((one) => [one.gun, one]));
  const found = episodesOf(records.findings, now).map((episode) =>
    findingJob(records, episode, episode.gun === null ? null : (byGun.get(episode.gun) ?? null)),
  );
  const ended = ({ state }: LoopJob): boolean => state === 'proven' || state === 'gone';
  // A part that a finding is about has its job already; the plan only adds why.
  const taken = new Set(found.filter((job) => !ended(job)).map(({ gun, part }) => `${gun} ${part}`));
  const planned = guns.flatMap((gun) => [
    ...gun.due
      .filter(({ due, part }) => due !== null && due <= now + PLAN_AHEAD_MS && !taken.has(`${gun.gun} ${part}`))
      .map((due) => planJob(records, gun, due)),
    ...closedPlanJobs(records, gun),
  ]);
  const all = [...found, ...planned];
  const open = all.filter((job) => !ended(job)).sort(byRank);
  const toDo = open.filter(({ state }) => state !== 'done');
  const stops = proposeStops(
    toDo,
    records.shop.stops.filter(({ at }) => at >= now),
    now,
  );
  const placed = open.map((job, index): LoopJob => {
    const stop = stops.get(job.id) ?? null;
    const together =
      stop === null
        ? []
        : toDo
            .filter((other) => other.id !== job.id && other.gun === job.gun && stops.get(other.id)?.at === stop.at)
            .map(({ id }) => id);
    return { ...job, rank: index + 1, stop, together };
  });
  const past = all
    .filter(ended)
    .sort((left, right) => (right.cleared ?? right.raised) - (left.cleared ?? left.raised))
    .map((job, index) => ({ ...job, rank: placed.length + index + 1 }));
  return { guns, jobs: [...placed, ...past] };
}

function gunUpkeep(records: LoopRecords, gun: Plant['guns'][number]): GunUpkeep {
  const { plant, shop, now } = records;
  const { timezone } = plant.site;
  const usage = records.usage(gun.id);
  const log = records.log.filter((entry) => entry.gun === gun.id);
  const view = records.views.find(({ id }) => id === gun.id) ?? null;
  const pace = sprayPace(usage, shop, now);
  const parts = fittedParts(
    {
      ...{ gun: gun.id, parts: partsOf(gun), usage, log },
      air: (part) => airShows(records.findings, view, gun.id, part),
      life: (part, sprayHours) => records.life(gun.id, part, sprayHours),
      set: records.set,
    },
    timezone,
    now,
  );
  const due = parts
    .map((part) => dueWork(part, pace, shop, timezone, now))
    .filter((one): one is DueWork => one !== null)
    .sort((left, right) => (left.due ?? Number.POSITIVE_INFINITY) - (right.due ?? Number.POSITIVE_INFINITY));
  const set = records.outOfService(gun.id);
  const over =
    set !== null &&
    ((set.until !== null && set.until <= now) ||
      set.from > now ||
      sprayedBetween(usage, set.from, now).sprayHours > BACK_IN_SERVICE_HOURS);
  return {
    ...{ gun: gun.id, name: gun.name ?? gun.id, usage, log, pace, parts, due, view },
    sprayed: sprayedBetween(usage, 0, now),
    outOfService: over ? null : set,
  };
}

/** Spray hours that the air leaves a part: the insert's by its wear, another's where an open finding forecasts it. */
function airShows(findings: readonly Finding[], view: GunView | null, gun: string, part: PartId): HoursLeft | null {
  const open = findings.find((one) => one.gun === gun && one.cleared === null && one.cause === part);
  return open?.remaining?.sprayHours ?? (part === 'pump-insert' ? (view?.remaining ?? null) : null);
}

/** Failures, then what is past its limit, then by due time, then by how sure. */
function byRank(left: LoopJob, right: LoopJob): number {
  const when = ({ due }: LoopJob): number => due ?? Number.POSITIVE_INFINITY;
  return (
    pressing(left) - pressing(right) ||
    Number(left.source === 'plan') - Number(right.source === 'plan') ||
    (when(left) === when(right) ? 0 : when(left) - when(right)) ||
    right.probability - left.probability ||
    (left.id < right.id ? -1 : 1)
  );
}
