import {
  alertLoad,
  type Job,
  JobRecord,
  jobId,
  type Loop,
  type LoopJob,
  makeLoop,
  type OutOfService,
  shopTime,
  USUAL_CALENDAR,
  usageOf,
} from '../../analyzer/index.ts';
import { AppError, type Plant, RUN_FIELDS, type RunField } from '../../collector/contract/index.ts';
import type { Stated, UpkeepSource } from '../../dashboard/server/index.ts';
import { deedOn } from '../../dashboard/upkeep/deed-on.ts';

/** What an invented hall shows of its maintenance loop: the jobs that it was given, and parts without any spraying. */
export function hallUpkeep(hall: {
  readonly plant: Plant;
  readonly jobs: () => readonly Job[];
  readonly now: () => number;
  readonly changed: () => void;
}): UpkeepSource {
  const { plant, now } = hall;
  const records = new Map<string, Stated<JobRecord>>();
  const none = { version: 0, who: '', at: null };
  const record = (id: string): Stated<JobRecord> => records.get(id) ?? { ...none, value: JobRecord.parse({}) };
  const services = new Map<string, Stated<OutOfService | null>>();
  const service = (gun: string): Stated<OutOfService | null> => services.get(gun) ?? { ...none, value: null };
  let calendar: Stated<typeof USUAL_CALENDAR> = { ...none, value: USUAL_CALENDAR };
  const columns = Object.fromEntries(RUN_FIELDS.map((field) => [field, new Float64Array(0)])) as unknown as Record<
    RunField,
    Float64Array
  >;
  const next = <T>(before: Stated<unknown>, value: T, { who, seen }: { who: string; seen: number }): Stated<T> => {
    if (before.version !== seen) throw new AppError('EDITED_MEANWHILE', 'somebody was first');
    return { version: seen + 1, value, who, at: now() };
  };
  const loop = (): Loop => {
    const { guns } = makeLoop({
      plant,
      findings: [],
      views: [],
      log: [],
      usage: (gun) => usageOf({ gun, length: 0, columns, powders: [] }),
      shop: shopTime(USUAL_CALENDAR, plant.site.timezone, now()),
      set: () => null,
      record: (job) => ({ version: record(job).version, record: record(job).value }),
      outOfService: (gun) => service(gun).value,
      life: () => null,
      now: now(),
    });
    return { guns, jobs: hall.jobs().map((job) => loopJob(job, record, now())) };
  };
  return {
    loop,
    calendar: () => calendar,
    rules: () => [],
    rule: () => ({ ...none, value: null }),
    service,
    load: (weeks) => alertLoad(loop().jobs, plant.guns.length, weeks, now()),
    act(id, deed, by) {
      const job = loop().jobs.find((one) => one.id === id);
      if (!job) throw new AppError('NOT_FOUND', `no job "${id}"`);
      const before = record(id);
      const value =
        deed.deed === 'undo'
          ? JobRecord.parse({})
          : deedOn(job, before.value, deed, { who: by.who, now: now() }).record;
      records.set(id, next(before, value, by));
      hall.changed();
      return loop().jobs.find((one) => one.id === id)!;
    },
    stateRule: (_gun, _part, rule, by) => next({ ...none, value: null }, rule, by),
    stateCalendar(value, by) {
      calendar = next(calendar, value, by);
      return calendar;
    },
    stateService(gun, out, by) {
      services.set(gun, next(service(gun), out, by));
      return service(gun);
    },
  };
}

function loopJob(job: Job, record: (id: string) => Stated<JobRecord>, now: number): LoopJob {
  const raised = Date.parse(job.finding.raised);
  const id = jobId(job.finding.gun, job.finding.cause, raised);
  const { version, value } = record(id);
  return {
    ...job,
    id,
    version,
    raised,
    source: 'finding',
    state: value.planned === null ? 'open' : 'planned',
    reopened: false,
    alert:
      value.shelved !== null && value.shelved.until > now
        ? 'shelved'
        : value.acknowledged === null
          ? 'unacknowledged'
          : 'acknowledged',
    cleared: null,
    due: null,
    dueWhy: [],
    safetyRelevant: false,
    stop: null,
    together: [],
    work: 'change',
    separates: null,
    acknowledged: value.acknowledged,
    planned: value.planned,
    shelved: value.shelved,
    suppressed: null,
    attempts: [],
    checks: [],
  };
}
