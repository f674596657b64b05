import type { PartId } from '../../collector/contract/index.ts';
import { BENCH_CHECKS } from '../advise/bench-checks.ts';
import { CAUTIONS } from '../advise/cautions.ts';
import { actionFor } from '../advise/make-jobs.ts';
import { alertState } from './alert-state.ts';
import { type DueWork, dueWork } from './due-work.ts';
import { PROOF_SPRAY_HOURS } from './episodes.ts';
import { shiftsUntil } from './finding-job.ts';
import { decidedBefore, fittedParts, type KnownEntry } from './fitted-parts.ts';
import { isWork, jobId, type LoopJob } from './loop-job.ts';
import { type GunUpkeep, type LoopRecords, PLAN_AHEAD_MS } from './loop-records.ts';
import { sprayPace } from './spray-pace.ts';
import { sprayedBetween } from './usage.ts';

/** The job that the plan asks for. */
export function planJob(records: LoopRecords, gun: GunUpkeep, due: DueWork): LoopJob {
  const { now } = records;
  const check = BENCH_CHECKS[due.part];
  const id = jobId(gun.gun, due.part, due.since);
  const { version, record } = records.record(id);
  const changes = due.work === 'change';
  const hours = gun.parts.find(({ part }) => part === due.part)?.expected?.sprayHours ?? null;
  return {
    rank: 0,
    id,
    source: 'plan',
    gun: gun.gun,
    gunName: gun.name,
    part: due.part,
    cause: due.part,
    category: 'maintenance-required',
    action: changes ? actionFor(due.part) : check.title,
    reason: due.why[0] ?? '',
    byShifts: due.due === null ? null : shiftsUntil(records, due.due),
    bySprayHours:
      hours !== null && hours.p10 !== null && hours.p90 !== null
        ? { p10: hours.p10, p50: hours.p50, p90: hours.p90 }
        : null,
    probability: 1,
    candidates: [{ cause: due.part, probability: 1 }],
    benchCheck: changes && due.by !== 'found' && due.by !== 'air' ? null : due.by === 'found' ? null : check,
    cautions: [...CAUTIONS],
    finding: { gun: gun.gun, cause: due.part, raised: new Date(due.since).toISOString() },
    evidence: [...due.why],
    state: record.planned === null ? 'open' : 'planned',
    reopened: false,
    alert: alertState(record, { ended: null, notCured: null, worked: null }, gun.outOfService, now),
    version,
    raised: due.since,
    cleared: null,
    due: due.due,
    dueWhy: [...due.why],
    safetyRelevant: due.safetyRelevant,
    stop: null,
    together: [],
    work: due.work,
    separates: null,
    acknowledged: record.acknowledged,
    planned: record.planned,
    shelved: record.shelved !== null && record.shelved.until > now ? record.shelved : null,
    suppressed: gun.outOfService,
    attempts: [],
    checks: [],
  };
}

/**
 * Jobs of the plan that were done: for each care of a part that was near its time, the job as it stood just before. Proven when the gun has sprayed
 * a while since and no finding blames the part.
 */
export function closedPlanJobs(records: LoopRecords, gun: GunUpkeep): LoopJob[] {
  return gun.parts.flatMap(({ part }) => {
    // Sorted out once: years of a log have thousands of entries, and each is looked back upon.
    const log = gun.log.filter((entry) => entry.part === part);
    const before = decidedBefore(log);
    const blamed = records.findings
      .filter(({ gun: of, cause }) => of === gun.gun && cause === part)
      .map(({ raised, cleared }) => ({
        from: Date.parse(raised),
        to: cleared === null ? Number.POSITIVE_INFINITY : Date.parse(cleared),
      }));
    return log.flatMap((entry, index) => closedBy(records, gun, { part, log: before[index]!, blamed }, entry) ?? []);
  });
}

/** What is known of one part of a gun. */
interface PartPast {
  readonly part: PartId;
  /** Of its entries those that still decide how it stood, ascending by time. */
  readonly log: readonly KnownEntry[];
  /** When findings spoke of it, epoch ms. */
  readonly blamed: readonly { readonly from: number; readonly to: number }[];
}

function closedBy(
  records: LoopRecords,
  gun: GunUpkeep,
  { part, log, blamed }: PartPast,
  entry: KnownEntry,
): LoopJob | null {
  if (!isWork(entry) && entry.found === null) return null;
  const { shop, plant } = records;
  const { timezone } = plant.site;
  const then = entry.time - 1;
  // Work against a finding is that finding's job.
  if (blamed.some(({ from, to }) => from <= then && to >= then)) return null;
  const nobody = (): null => null;
  const [before] = fittedParts(
    { gun: gun.gun, parts: [part], usage: gun.usage, log, air: nobody, life: nobody, set: records.set },
    timezone,
    then,
  );
  const due = dueWork(before!, sprayPace(gun.usage, shop, then), shop, timezone, then);
  if (due === null || due.due === null || due.due > then + PLAN_AHEAD_MS) return null;
  if (due.work === 'change' && entry.action !== 'replaced' && entry.action !== 'cleaned') return null;
  const asItStood = planJob({ ...records, now: then }, gun, due);
  const sprayHoursSince = sprayedBetween(gun.usage, entry.time, records.now).sprayHours;
  // A check is its own proof; a change shows by spraying.
  const watching = isWork(entry) && sprayHoursSince < PROOF_SPRAY_HOURS;
  const state = watching ? 'done' : 'proven';
  return {
    ...asItStood,
    state,
    alert: 'normal',
    cleared: state === 'done' ? null : entry.time,
    benchCheck: null,
    shelved: null,
    suppressed: null,
    attempts: [
      {
        ...{ entry: entry.id, part, action: entry.action, time: entry.time, sprayHoursSince },
        outcome: watching ? 'watching' : 'cured',
      },
    ],
  };
}
