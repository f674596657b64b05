import { type Action, type Found, type LogEntry, PART_IDS, type PartId } from '../../collector/contract/index.ts';
import { type RuleInForce, type RuleOverride, ruleFor } from './part-rules.ts';
import { daysBetween } from './shift-calendar.ts';
import { reachedAt, type Sprayed, sprayedBetween, type Usage } from './usage.ts';

/** Spray hours left as an 80 % interval. */
export interface HoursLeft {
  readonly p10: number;
  readonly p50: number;
  readonly p90: number;
}

/** Whose lives a statistic is of: the gun's own, those with its powder family, or all of the part. */
export type LivesOf = 'gun' | 'family' | 'all';

/** A log entry as the plan needs it, with what was measured. */
export interface KnownEntry extends LogEntry {
  readonly id: number;
  readonly measured?: { readonly value: number; readonly unit: string } | null;
}

/** The last time that hands were on a part. */
export interface LastCare {
  readonly entry: number;
  readonly time: number;
  readonly action: Action;
  readonly found: Found | null;
  readonly measured: { readonly value: number; readonly unit: string } | null;
}

/** How much longer a part is expected to last. */
export interface Expected {
  /** The air where it shows the part, else life statistics, else the interval. */
  readonly from: 'air' | 'life' | 'interval';
  /** Spray hours left; without its 80 % interval where only the rule is known. Below 0 where it is past. */
  readonly sprayHours: { readonly p10: number | null; readonly p50: number; readonly p90: number | null } | null;
  /** Whose lives, where it comes from life statistics; null elsewhere. */
  readonly livesOf: LivesOf | null;
  /** What the rule leaves, whichever of them count. */
  readonly kilograms: number | null;
  readonly days: number | null;
}

/** A part on a gun, as it stands. Times are epoch ms. */
export interface FittedPart {
  readonly gun: string;
  readonly part: PartId;
  /** When it was fitted; null where no change was ever logged: then it counts from the gun's first spray run. */
  readonly fittedSince: number | null;
  /** From when hours and powder count: its fitting, or the first spray run where that came later; null where neither is known. */
  readonly countedFrom: number | null;
  readonly sinceFitted: Sprayed;
  readonly days: number | null;
  readonly lastCare: LastCare | null;
  /** From when its interval counts: the last change, or the last check that left it fit. */
  readonly intervalFrom: number | null;
  readonly sinceCare: Sprayed;
  readonly daysSinceCare: number | null;
  /** When the rule's spray hours and kilograms were reached; null while they are not. */
  readonly ranOut: { readonly sprayHours: number | null; readonly kilograms: number | null };
  readonly rule: RuleInForce;
  readonly expected: Expected | null;
}

/** What the counters of a gun's parts are made of. */
export interface GunRecords {
  readonly gun: string;
  /** Parts that the gun has. */
  readonly parts: readonly PartId[];
  readonly usage: Usage;
  /** Entries of the gun that count, ascending by time. */
  readonly log: readonly KnownEntry[];
  /** Spray hours left as the air shows them, for parts that it shows. */
  readonly air: (part: PartId) => HoursLeft | null;
  /** Spray hours left by life statistics, for a part that has sprayed so long. */
  readonly life: (part: PartId, sprayHours: number) => { readonly left: HoursLeft; readonly of: LivesOf } | null;
  readonly set: (gun: string | null, part: PartId) => RuleOverride | null;
}

/** Parts that a gun has: those that the plant file names, else all, in the contract's order. */
export function partsOf(gun: { readonly parts?: readonly PartId[] | undefined }): PartId[] {
  return PART_IDS.filter((part) => gun.parts?.includes(part) ?? true);
}

/**
 * The parts on a gun with their counters. Only spray runs move hours and kilograms; days count for what ages, and never wear an insert.
 *
 * @param now epoch ms
 */
export function fittedParts(records: GunRecords, timezone: string, now: number): FittedPart[] {
  return records.parts.map((part) => fittedPart(records, part, timezone, now));
}

/** A gun whose sensors and part were fitted on the same day has not sprayed with it unseen, ms. Source: own choice. */
const SAME_DAY_MS = 86_400_000;
const KEEPS: readonly Action[] = ['cleaned', 'refitted', 'adjusted'];

/** Whether an entry is the part's change, lets the interval of its changes begin anew, or that of its checks. */
const DECIDES: readonly ((entry: KnownEntry) => boolean)[] = [
  ({ action }) => action === 'replaced',
  ({ action }) => action === 'replaced' || action === 'cleaned',
  // A check that found it worn or failed leaves the interval where it is: the part is still to be changed.
  ({ action, found }) => action === 'replaced' || found === 'good' || KEEPS.includes(action),
  () => true,
];
const [IS_FITTED, KEEPS_CHANGED, KEEPS_CHECKED] = DECIDES;

/**
 * For each entry of a part, those of before it that decide how the part stood just then: at most four, however long the log is.
 *
 * @param log entries of one part of one gun, ascending by time
 */
export function decidedBefore(log: readonly KnownEntry[]): KnownEntry[][] {
  const newest = DECIDES.map(() => -1);
  let seen = 0;
  return log.map(({ time }) => {
    // Of entries at one time none was before the other.
    for (; log[seen]!.time < time; seen++)
      for (const [index, decides] of DECIDES.entries()) if (decides(log[seen]!)) newest[index] = seen;
    const places = [...new Set(newest)].filter((place) => place >= 0).sort((left, right) => left - right);
    return places.map((place) => log[place]!);
  });
}

function fittedPart(records: GunRecords, part: PartId, timezone: string, now: number): FittedPart {
  const { gun, usage } = records;
  const entries = records.log.filter((entry) => entry.part === part && entry.time <= now);
  const fitted = entries.findLast(IS_FITTED!);
  const first = usage.starts[0] ?? null;
  const unseen = fitted !== undefined && first !== null && fitted.time < first - SAME_DAY_MS;
  const countedFrom = unseen ? first : (fitted?.time ?? first);
  const standsSince = fitted?.time ?? countedFrom;
  const rule = ruleFor(gun, part, records.set);
  const last = entries.at(-1);
  const kept = entries.findLast(rule.work === 'check' ? KEEPS_CHECKED! : KEEPS_CHANGED!);
  const intervalFrom = kept?.time ?? standsSince;
  const sinceFitted = sprayedBetween(usage, countedFrom ?? now, now);
  const sinceCare = sprayedBetween(usage, intervalFrom ?? now, now);
  const daysSinceCare = intervalFrom === null ? null : daysBetween(intervalFrom, now, timezone);
  const ranOut = (of: 'sprayHours' | 'kilograms'): number | null => {
    const amount = rule[of];
    return amount === null || intervalFrom === null ? null : reachedAt(usage, intervalFrom, amount, of);
  };
  return {
    gun,
    part,
    fittedSince: fitted?.time ?? null,
    countedFrom,
    sinceFitted,
    days: standsSince === null ? null : daysBetween(standsSince, now, timezone),
    lastCare:
      last === undefined
        ? null
        : {
            entry: last.id,
            time: last.time,
            action: last.action,
            found: last.found,
            measured: last.measured ?? null,
          },
    intervalFrom,
    sinceCare,
    daysSinceCare,
    ranOut: { sprayHours: ranOut('sprayHours'), kilograms: ranOut('kilograms') },
    rule,
    expected: expected(records, part, rule, sinceFitted, sinceCare, daysSinceCare),
  };
}

function expected(
  { air, life }: GunRecords,
  part: PartId,
  rule: RuleInForce,
  sinceFitted: Sprayed,
  sinceCare: Sprayed,
  daysSinceCare: number | null,
): Expected | null {
  const kilograms =
    rule.kilograms === null || sinceCare.kilograms === null ? null : rule.kilograms - sinceCare.kilograms;
  const days = rule.days === null || daysSinceCare === null ? null : rule.days - daysSinceCare;
  const shown = air(part);
  if (shown !== null) return { from: 'air', sprayHours: shown, livesOf: null, kilograms, days };
  const lived = life(part, sinceFitted.sprayHours);
  if (lived !== null) return { from: 'life', sprayHours: lived.left, livesOf: lived.of, kilograms, days };
  const hours = rule.sprayHours === null ? null : rule.sprayHours - sinceCare.sprayHours;
  if (hours === null && kilograms === null && days === null) return null;
  return {
    from: 'interval',
    sprayHours: hours === null ? null : { p10: null, p50: hours, p90: null },
    livesOf: null,
    kilograms,
    days,
  };
}
