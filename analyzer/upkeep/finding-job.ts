import { counted, withPowderNamed } from '../../collector/contract/index.ts';
import { BENCH_CHECKS } from '../advise/bench-checks.ts';
import { CAUTIONS } from '../advise/cautions.ts';
import { actionFor } from '../advise/make-jobs.ts';
import { causeInWords } from '../diagnose/in-words.ts';
import { checkFirst, weighChecks } from '../diagnose/weigh-checks.ts';
import { alertState } from './alert-state.ts';
import { courseOf, type Episode } from './episodes.ts';
import type { LoopJob } from './loop-job.ts';
import { type GunUpkeep, type LoopRecords, partOf } from './loop-records.ts';
import { workingMs } from './shop-time.ts';
import { whenSprayed } from './spray-pace.ts';

/** Hours of a usual shift. */
const SHIFT_MS = 8 * 3_600_000;

/** Working time until `due` in shifts of 8 h; 0 where it is past. */
export function shiftsUntil({ shop, now }: LoopRecords, due: number): number {
  return due <= now ? 0 : workingMs(shop, now, due) / SHIFT_MS;
}

/** The job that a finding asks for, with what checks by hand said of it since. */
export function findingJob(records: LoopRecords, episode: Episode, gun: GunUpkeep | null): LoopJob {
  const { plant, shop, now } = records;
  const { finding, cause, id } = episode;
  const { version, record } = records.record(id);
  const log = gun?.log ?? [];
  const course = courseOf(episode, log, gun?.usage ?? null, record, now);
  const end = episode.cleared ?? now;
  const ended = episode.cleared !== null;
  const checks = log.filter(
    ({ action, time, part, found, measured }) =>
      action === 'inspected' &&
      time >= episode.raised &&
      time <= end &&
      partOf(part) !== null &&
      (found !== null || measured != null),
  );
  const tried = course.attempts.filter(({ outcome }) => outcome === 'not-cured').map(({ part }) => part);
  // What the analysis has looked at is in its candidates already; what came later moves them here, at once.
  const unseen = checks.filter(({ time }) => time > Date.parse(finding.asOf));
  const weighed = weighChecks(finding.candidates, unseen);
  // A part that was changed in vain comes last: the next candidate is what is to be done.
  const candidates = course.reopened
    ? [...weighed.filter((one) => !tried.includes(one.cause)), ...weighed.filter((one) => tried.includes(one.cause))]
    : weighed;
  const lead = candidates[0]?.cause ?? cause;
  const part = partOf(lead);
  const first =
    course.state === 'done' || ended
      ? null
      : checkFirst(candidates, new Set([...checks.map((one) => one.part), ...tried]));
  // Of an ended job only its story is left: what the air shows now is of another part.
  const hours = ended ? null : (finding.remaining?.sprayHours ?? null);
  const due = ended
    ? null
    : finding.category === 'failure'
      ? episode.raised
      : hours === null || gun === null
        ? null
        : whenSprayed(hours.p50, gun.pace, shop, now);
  const inVain = course.reopened ? tried.at(-1) : undefined;
  const outOfService = gun?.outOfService ?? null;
  const planned = ended ? undefined : gun?.due.find((one) => one.part === part);
  const names = (finding.guns ?? []).map((name) => plant.guns.find((one) => one.id === name)?.name ?? name);
  const evidence = finding.evidence.map((sentence) => withPowderNamed(sentence, plant.powders));
  return {
    rank: 0,
    id,
    source: 'finding',
    gun: episode.gun,
    gunName: gun?.name ?? episode.gun ?? names.join(', '),
    part,
    cause: lead,
    category: finding.category,
    action: actionFor(lead),
    reason: `${inVain === undefined ? '' : `not cured by work on ${causeInWords(inVain)}; `}${evidence[0] ?? ''}`,
    byShifts: due === null ? null : shiftsUntil(records, due),
    bySprayHours: hours,
    probability: candidates[0]?.probability ?? 0,
    candidates,
    benchCheck: first === null ? null : BENCH_CHECKS[first.part],
    cautions: [...CAUTIONS],
    finding: { gun: episode.gun, cause, raised: episode.raisedIso },
    evidence,
    state: course.state,
    reopened: course.reopened,
    alert: alertState(
      record,
      { ended: episode.cleared, notCured: course.notCuredAt, worked: course.attempts.at(-1)?.time ?? null },
      outOfService,
      now,
    ),
    version,
    raised: episode.raised,
    cleared: episode.cleared,
    due,
    dueWhy: [
      ...(hours === null ? [] : [`the air leaves about ${counted(Math.round(hours.p50), 'spray hour')}`]),
      ...(planned?.why ?? []).map((why) => `by plan: ${why}`),
    ],
    safetyRelevant: planned?.safetyRelevant ?? false,
    stop: null,
    together: [],
    work: part === null ? 'look' : 'change',
    separates: first?.separates ? [...first.separates] : null,
    acknowledged: record.acknowledged,
    planned: record.planned,
    shelved: record.shelved !== null && record.shelved.until > now ? record.shelved : null,
    suppressed: outOfService,
    attempts: [...course.attempts],
    checks: checks.map(({ id: entry, part: of, time, found, measured }) => ({
      entry,
      part: of,
      time,
      found,
      measured: measured ?? null,
    })),
  };
}
