import type { JobRecord, LoopJob } from '../../analyzer/index.ts';
import { isPartId } from '../../collector/contract/index.ts';
import { type Deed, RequestFault } from '../server/index.ts';

/** A shelf is for a while: at most so long, ms. Source: own choice, a month; who needs more takes the gun out of service. */
const LONGEST_SHELF_MS = 31 * 86_400_000;
/** A failure or a safety-relevant check may be put off for a day at most. Source: own choice. */
const LONGEST_URGENT_SHELF_MS = 86_400_000;
/** Nothing is planned further ahead, ms. Source: own choice, a year. */
const FURTHEST_PLAN_MS = 366 * 86_400_000;

/** What is planned for now is a minute old when it arrives, and clocks differ, ms. Source: contract section 4, clocks may differ by 5 minutes. */
const JUST_NOW_MS = 5 * 60_000;

interface At {
  readonly who: string;
  /** Epoch ms. */
  readonly now: number;
}

/**
 * What a deed makes of the record of a job.
 *
 * @returns the record, and what was done in a few words for the journal
 * @throws {RequestFault} BODY_INVALID where it does not fit the job
 */
export function deedOn(
  job: LoopJob,
  record: JobRecord,
  deed: Exclude<Deed, { deed: 'undo' }>,
  { who, now }: At,
): { record: JobRecord; did: string } {
  const ended = job.state === 'proven' || job.state === 'gone';
  if (ended && deed.deed !== 'acknowledge')
    refuse('deed', `this job has ended (${job.state}): it can only be acknowledged`);
  switch (deed.deed) {
    case 'acknowledge':
      return { record: { ...record, acknowledged: { at: now, who } }, did: 'acknowledged' };
    case 'plan':
      if (deed.for < now - JUST_NOW_MS)
        refuse('for', `${told(deed.for)} is past; expected a time from now (${told(now)}) on`);
      if (deed.for > now + FURTHEST_PLAN_MS) refuse('for', `${told(deed.for)}; expected at most a year ahead`);
      return {
        record: { ...record, planned: { for: deed.for, at: now, who, note: deed.note } },
        did: `planned for ${told(deed.for)}`,
      };
    case 'unplan':
      if (record.planned === null) refuse('deed', 'this job is not planned');
      return { record: { ...record, planned: null }, did: 'plan taken back' };
    case 'shelve': {
      const urgent = job.category === 'failure' || job.safetyRelevant;
      const longest = urgent ? LONGEST_URGENT_SHELF_MS : LONGEST_SHELF_MS;
      if (deed.until <= now) refuse('until', `${told(deed.until)} is past; expected an end after now (${told(now)})`);
      if (deed.until > now + longest)
        refuse(
          'until',
          `${told(deed.until)}; expected at most ${told(now + longest)}: ${urgent ? 'a failure or a safety-relevant job' : 'a job'} is shelved for ${urgent ? 'a day' : '31 days'} at most`,
        );
      return {
        record: { ...record, shelved: { until: deed.until, reason: deed.reason, at: now, who } },
        did: `shelved until ${told(deed.until)}: ${deed.reason}`,
      };
    }
    case 'unshelve':
      if (record.shelved === null || record.shelved.until <= now) refuse('deed', 'this job is not on the shelf');
      // It ends now, so that it is to be seen again.
      return {
        record: { ...record, shelved: { ...record.shelved!, until: now } },
        did: 'taken off the shelf',
      };
    case 'done':
      if (job.part !== null && isPartId(job.part))
        refuse(
          'deed',
          `what was done to the ${job.part} goes into the maintenance log (POST /api/log): it counts from there`,
        );
      return {
        record: { ...record, done: { at: now, who, note: deed.note } },
        did: `done${deed.note === '' ? '' : `: ${deed.note}`}`,
      };
  }
}

/** In UTC, for machines; screens tell it in the plant's time. */
const told = (ms: number): string => new Date(ms).toISOString();

function refuse(field: string, detail: string): never {
  throw new RequestFault('BODY_INVALID', detail, [{ pointer: `#/${field}`, detail }]);
}
