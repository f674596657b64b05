import type { Endpoint } from '../endpoint.ts';
import { checks, due, gunPage, parts, stateService } from '../endpoints/upkeep-guns.ts';
import { actOnJob, alertLoad, jobs } from '../endpoints/upkeep-jobs.ts';
import { calendar, intervals, planFeed, stateCalendar, stateInterval } from '../endpoints/upkeep-plan.ts';

/** Addresses of the maintenance loop. */
export const UPKEEP_ENDPOINTS: readonly Endpoint[] = [
  jobs,
  actOnJob,
  alertLoad,
  parts,
  due,
  gunPage,
  stateService,
  checks,
  planFeed,
  intervals,
  stateInterval,
  calendar,
  stateCalendar,
];
