import { sprayClock, sprayHoursBetween } from '../replay/spray-clock.ts';
import type { SiteHistory } from './history.ts';
import type { JudgedFinding } from './judge-finding.ts';
import type { Study } from './study.ts';

/** One finding under both sets of settings. */
export interface FindingChange {
  readonly kind: 'same' | 'earlier' | 'later' | 'gone' | 'new';
  readonly before: JudgedFinding | null;
  readonly after: JudgedFinding | null;
  /** Spray hours by which the finding comes earlier (above 0) or later (below 0); null where one of them is missing or no gun is meant. */
  readonly sprayHoursEarlier: number | null;
}

/**
 * What another set of settings changes, finding by finding: two findings are the same one when gun and cause are and they were open at
 * the same time. One that either of them raises before the span is told where the other raises it within.
 *
 * @returns in order of the earlier `raised` of each pair
 */
export function compareStudies(history: SiteHistory, before: Study, after: Study): FindingChange[] {
  const fresh = [...after.before, ...after.findings];
  const free = new Set(fresh);
  const changes: FindingChange[] = [];
  for (const old of [...before.before, ...before.findings]) {
    const match = fresh.find((one) => free.has(one) && isSame(old, one)) ?? null;
    if (match !== null) free.delete(match);
    if (isWithin(old, before) || isWithin(match, after)) changes.push(changeOf(history, old, match));
  }
  for (const one of free) if (isWithin(one, after)) changes.push(changeOf(history, null, one));
  return changes.sort((left, right) => beganAt(left) - beganAt(right));
}

function changeOf(history: SiteHistory, before: JudgedFinding | null, after: JudgedFinding | null): FindingChange {
  if (before === null) return { kind: 'new', before, after, sprayHoursEarlier: null };
  if (after === null) return { kind: 'gone', before, after, sprayHoursEarlier: null };
  const kind = after.raised === before.raised ? 'same' : after.raised < before.raised ? 'earlier' : 'later';
  const runs = before.finding.gun === null ? undefined : history.tracks.get(before.finding.gun)?.runs;
  if (runs === undefined) return { kind, before, after, sprayHoursEarlier: null };
  const clock = sprayClock(runs);
  const hours =
    sprayHoursBetween(clock, after.raised, before.raised) - sprayHoursBetween(clock, before.raised, after.raised);
  return { kind, before, after, sprayHoursEarlier: hours };
}

function isSame(one: JudgedFinding, other: JudgedFinding): boolean {
  return (
    one.finding.gun === other.finding.gun &&
    one.finding.cause === other.finding.cause &&
    one.raised <= (other.cleared ?? Number.POSITIVE_INFINITY) &&
    other.raised <= (one.cleared ?? Number.POSITIVE_INFINITY)
  );
}

/** No replay goes on behind its span. */
const isWithin = (one: JudgedFinding | null, { from }: Study): boolean => one !== null && one.raised >= from;

const beganAt = ({ before, after }: FindingChange): number =>
  Math.min(before?.raised ?? Number.POSITIVE_INFINITY, after?.raised ?? Number.POSITIVE_INFINITY);
