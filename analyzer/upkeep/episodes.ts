import type { Finding } from '../../collector/contract/index.ts';
import type { KnownEntry } from './fitted-parts.ts';
import { type Attempt, isWork, type JobRecord, jobId } from './loop-job.ts';
import { reachedAt, sprayedBetween, type Usage } from './usage.ts';

/**
 * A finding that comes back so soon after it cleared is the same job again, not another alert: the off-delay of ISA-18.2. Source: own choice,
 * because a shift and the night after it show whether a signal stays away.
 */
export const OFF_DELAY_MS = 24 * 3_600_000;
/** So long a doubt about sensors and data has to last before it is told: the on-delay of ISA-18.2. Source: own choice. */
const ON_DELAY_MS = 10 * 60_000;
/** Spray hours after a change from which an open finding says that it did not cure. Source: own choice, twice what the analysis itself needs. */
export const PROOF_SPRAY_HOURS = 3;
/** The same where no spraying can prove it (supply, sensors, data), ms. Source: own choice, a shift. */
const PROOF_MS = 8 * 3_600_000;
/** Work so near together is one stop of the gun and proves itself together, ms. Source: own choice. */
const ONE_STOP_MS = 2 * 3_600_000;

/**
 * Parts that the same signal, air per output, can come from: a change of any of them is an attempt, also where the analysis has ruled it out since.
 * Source: handbook of the trade, section 2, what the air shows.
 */
const ONE_SIGNAL: ReadonlySet<string> = new Set(['pump-insert', 'pump-seals', 'gun-seals', 'powder-hose', 'gun-tube']);
/** Probability from which any work on a part is an attempt at the trouble. Source: own choice. */
const FIRST_SUSPECT = 0.3;

/** A finding ends and the one that takes its place begins at the same look of the analysis, ms. Source: own choice, rounding of times. */
const SAME_LOOK_MS = 1000;

/** One trouble from its first finding on, however often it flickered, and whatever part it was put down to. */
export interface Episode {
  /** Of the job, by its first finding: it keeps what people said of it. */
  readonly id: string;
  readonly gun: string | null;
  readonly cause: string;
  /** Epoch ms of the first finding. */
  readonly raised: number;
  /** When the finding that stands now was raised, as it was told: that of the first where it only flickered. */
  readonly raisedIso: string;
  /** When the evidence spoke for another part than before, epoch ms; null where it never did. */
  readonly movedAt: number | null;
  /** The newest finding of it. */
  readonly finding: Finding;
  readonly cleared: number | null;
}

/**
 * Findings by gun and cause, those joined that came back within the off-delay, and those that took the place of another when the evidence
 * spoke for another part of the same signal: whatever was changed before, it is the same trouble.
 *
 * @param now epoch ms: what is younger than the on-delay is not told yet
 */
export function episodesOf(findings: readonly Finding[], now: number): Episode[] {
  const byKey = new Map<string, Episode>();
  const ended: Episode[] = [];
  const sorted = [...findings].sort((left, right) => Date.parse(left.raised) - Date.parse(right.raised));
  for (const finding of sorted) {
    const { gun, cause, raised: raisedIso } = finding;
    const key = keyOf(finding);
    const raised = Date.parse(raisedIso);
    const cleared = finding.cleared === null ? null : Date.parse(finding.cleared);
    if (finding.category === 'function-check' && (cleared ?? now) - raised < ON_DELAY_MS) continue;
    const told = { cause, finding, cleared };
    const before = byKey.get(key);
    if (before !== undefined && (before.cleared === null || raised - before.cleared <= OFF_DELAY_MS)) {
      byKey.set(key, { ...before, ...told });
      continue;
    }
    if (before !== undefined) ended.push(before);
    const moved = [...byKey.values()].find((one) => tookPlaceOf(one, finding, raised));
    if (moved !== undefined) byKey.delete(keyOf(moved));
    byKey.set(
      key,
      moved === undefined
        ? { ...told, id: jobId(gun, cause, raised), gun, raised, raisedIso, movedAt: null }
        : { ...moved, ...told, raisedIso, movedAt: raised },
    );
  }
  return [...ended, ...byKey.values()];
}

const keyOf = ({ gun, cause }: Pick<Finding, 'gun' | 'cause'>): string => JSON.stringify([gun, cause]);

/** True where `finding` began when the evidence for `before` ended, and both are read from the same signal. */
function tookPlaceOf(before: Episode, { gun, cause }: Finding, raised: number): boolean {
  return (
    before.gun === gun &&
    gun !== null &&
    before.cleared !== null &&
    Math.abs(raised - before.cleared) <= SAME_LOOK_MS &&
    ONE_SIGNAL.has(before.cause) &&
    (ONE_SIGNAL.has(cause) || cause === 'powder')
  );
}

/** How far an episode has come. */
export interface Course {
  readonly state: 'open' | 'planned' | 'done' | 'proven' | 'gone';
  readonly reopened: boolean;
  /** When it was known that the last change did not cure, epoch ms; null unless it is open again. */
  readonly notCuredAt: number | null;
  readonly attempts: readonly Attempt[];
}

/**
 * What was done against an episode, and whether it cured: proven when the signal came back after the work; not cured when the gun has sprayed
 * enough since and the finding stands, or the evidence has spoken for another part since.
 *
 * @param log entries of the gun, ascending by time
 * @param usage of the gun; null for what is common to several
 */
export function courseOf(
  episode: Episode,
  log: readonly KnownEntry[],
  usage: Usage | null,
  record: JobRecord,
  now: number,
): Course {
  const end = episode.cleared ?? now;
  const chance = new Map(episode.finding.candidates.map(({ cause, probability }) => [cause, probability]));
  // Seals are refitted at every colour change: that is an attempt only where they are among the first suspects.
  const isAttempt = ({ part, action }: KnownEntry): boolean =>
    part === episode.cause ||
    (chance.get(part) ?? 0) >= FIRST_SUSPECT ||
    (action === 'replaced' && (chance.has(part) || (ONE_SIGNAL.has(part) && ONE_SIGNAL.has(episode.cause))));
  const since = (time: number): number => (usage === null ? 0 : sprayedBetween(usage, time, end).sprayHours);
  const worked = log
    .filter((entry) => isWork(entry) && entry.time > episode.raised && entry.time <= end && isAttempt(entry))
    .map(({ id, part, action, time }) => ({
      entry: id as number | null,
      part,
      action: action as Attempt['action'],
      time,
    }));
  if (record.done !== null && record.done.at <= end)
    worked.push({ entry: null, part: episode.cause, action: null, time: record.done.at });
  worked.sort((left, right) => left.time - right.time);
  const last = worked.at(-1);
  const attempts = worked.map((attempt): Attempt => {
    const sprayHoursSince = since(attempt.time);
    const ofLastStop = last !== undefined && last.time - attempt.time <= ONE_STOP_MS;
    const proofDue = sprayHoursSince >= PROOF_SPRAY_HOURS || (attempt.entry === null && now - attempt.time >= PROOF_MS);
    const ruledOut = episode.movedAt !== null && attempt.time < episode.movedAt && attempt.part !== episode.cause;
    const outcome =
      !ofLastStop || ruledOut ? 'not-cured' : episode.cleared !== null ? 'cured' : proofDue ? 'not-cured' : 'watching';
    return { ...attempt, outcome, sprayHoursSince };
  });
  const told = { reopened: false, notCuredAt: null, attempts };
  if (episode.cleared !== null)
    return { ...told, state: attempts.some(({ outcome }) => outcome === 'cured') ? 'proven' : 'gone' };
  if (attempts.some(({ outcome }) => outcome === 'watching')) return { ...told, state: 'done' };
  if (last === undefined) return { ...told, state: record.planned === null ? 'open' : 'planned' };
  const sprayed = usage === null ? null : reachedAt(usage, last.time, PROOF_SPRAY_HOURS, 'sprayHours');
  const proofAt = sprayed ?? last.time + (last.entry === null ? PROOF_MS : 0);
  const notCuredAt = Math.max(episode.movedAt ?? 0, proofAt);
  // A plan that was made before is the plan of what was tried.
  const planned = record.planned !== null && record.planned.at > notCuredAt;
  return { state: planned ? 'planned' : 'open', reopened: true, notCuredAt, attempts };
}
