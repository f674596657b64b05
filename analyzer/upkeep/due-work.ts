import { counted, type PartId } from '../../collector/contract/index.ts';
import type { FittedPart } from './fitted-parts.ts';
import { daysAfter } from './shift-calendar.ts';
import type { ShopTime } from './shop-time.ts';
import { type SprayPace, whenSprayed } from './spray-pace.ts';

/** What of a rule comes first. */
export type DueBy = 'sprayHours' | 'kilograms' | 'days' | 'air' | 'life' | 'found';

/** Work on a part that the plan asks for. Times are epoch ms. */
export interface DueWork {
  readonly gun: string;
  readonly part: PartId;
  readonly work: 'change' | 'check';
  /** When it is due; null where the gun is not used, so that its hours do not run. */
  readonly due: number | null;
  readonly by: DueBy;
  /** When the interval alone would ask for it; null where it has none or the gun is not used. */
  readonly intervalDue: number | null;
  /** From when this round counts: it names the job. */
  readonly since: number;
  readonly safetyRelevant: boolean;
  /** Why then, each a sentence. */
  readonly why: readonly string[];
}

interface Ask {
  readonly due: number | null;
  readonly by: DueBy;
  readonly says: string;
}

const round = (value: number): string => value.toFixed(Math.abs(value) < 9.95 && value !== 0 ? 1 : 0);
const left = (value: number, unit: string): string =>
  value >= 0 ? `${round(value)} ${unit} left` : `${round(-value)} ${unit} past it`;
const daysLeft = (days: number): string => (days >= 0 ? `${inDays(days)} left` : `${inDays(-days)} past it`);
const inDays = (days: number): string => counted(days, 'day');

/**
 * When a part is due: the first of its interval's counts, joined with its condition. What the air or life statistics show brings work
 * forward. It goes past the interval only where the rule lets it and says so; a safety-relevant check is never pushed back.
 *
 * @param now epoch ms
 * @returns null where neither rule nor condition asks for anything
 */
export function dueWork(
  fitted: FittedPart,
  pace: SprayPace,
  shop: ShopTime,
  timezone: string,
  now: number,
): DueWork | null {
  const { rule, lastCare, expected } = fitted;
  const since = fitted.intervalFrom ?? now;
  const base = {
    gun: fitted.gun,
    part: fitted.part,
    work: rule.work,
    since,
    safetyRelevant: rule.safetyRelevant,
  };
  const asks = intervalAsks(fitted, pace, shop, timezone, now);
  const first = earliest(asks);
  const intervalDue = first?.due ?? null;
  if (lastCare?.action === 'inspected' && (lastCare.found === 'worn' || lastCare.found === 'failed'))
    return {
      ...{ ...base, since: lastCare.time, work: 'change' },
      ...{ due: lastCare.time, by: 'found', intervalDue },
      why: [`found ${lastCare.found} when it was last looked at: to be changed`],
    };
  const condition = conditionAsk(fitted, pace, shop, now);
  if (first === null) {
    if (condition === null) return null;
    return { ...base, work: 'change', due: condition.due, by: condition.by, intervalDue, why: [condition.says] };
  }
  const told = { ...base, intervalDue };
  if (condition === null) return { ...told, due: first.due, by: first.by, why: asks.map(({ says }) => says) };
  const reasons = [condition.says, ...asks.map(({ says }) => says)];
  if (isBefore(condition.due, first.due))
    return { ...told, work: 'change', due: condition.due, by: condition.by, why: ['brought forward', ...reasons] };
  const cautious = expected?.sprayHours?.p10;
  if (rule.airMayExtend && expected?.from === 'air' && typeof cautious === 'number') {
    const extended = whenSprayed(cautious, pace, shop, now);
    if (isBefore(first.due, extended))
      return {
        ...told,
        due: extended,
        by: 'air',
        why: [
          `past its interval because the air shows it well: at least ${counted(round(cautious), 'spray hour')} left`,
          ...reasons,
        ],
      };
  }
  return { ...told, due: first.due, by: first.by, why: reasons };
}

/** What each count of the rule asks for. */
function intervalAsks(
  { rule, sinceCare, daysSinceCare, intervalFrom, ranOut }: FittedPart,
  pace: SprayPace,
  shop: ShopTime,
  timezone: string,
  now: number,
): Ask[] {
  const asks: Ask[] = [];
  const when = (hours: number): number | null => whenSprayed(hours, pace, shop, now);
  if (rule.sprayHours !== null) {
    const hours = rule.sprayHours - sinceCare.sprayHours;
    asks.push({
      due: ranOut.sprayHours ?? when(hours),
      by: 'sprayHours',
      says: `interval ${counted(round(rule.sprayHours), 'spray hour')}: ${left(hours, 'h')}`,
    });
  }
  if (rule.kilograms !== null && sinceCare.kilograms !== null) {
    const kilograms = rule.kilograms - sinceCare.kilograms;
    const perHour = pace.kilogramsPerSprayHour;
    asks.push({
      due: ranOut.kilograms ?? (perHour === null || perHour <= 0 ? null : when(kilograms / perHour)),
      by: 'kilograms',
      says: `interval ${round(rule.kilograms)} kg of powder: ${left(kilograms, 'kg')}`,
    });
  }
  if (rule.days !== null && intervalFrom !== null && daysSinceCare !== null)
    asks.push({
      due: daysAfter(intervalFrom, rule.days, timezone),
      by: 'days',
      says: `interval ${inDays(rule.days)}: ${daysLeft(Math.ceil(rule.days) - daysSinceCare)}`,
    });
  return asks;
}

/** What the air or life statistics expect. */
function conditionAsk({ expected }: FittedPart, pace: SprayPace, shop: ShopTime, now: number): Ask | null {
  if (expected === null || expected.from === 'interval' || expected.sprayHours === null) return null;
  const { p10, p50, p90 } = expected.sprayHours;
  const span = p10 === null || p90 === null ? '' : ` (80 % interval ${round(p10)} to ${round(p90)})`;
  return {
    due: whenSprayed(p50, pace, shop, now),
    by: expected.from,
    says: `${expected.from === 'air' ? 'the air shows' : 'life statistics expect'} ${counted(round(p50), 'spray hour')} left${span}`,
  };
}

function earliest(asks: readonly Ask[]): Ask | null {
  return asks.reduce<Ask | null>((first, ask) => (first === null || isBefore(ask.due, first.due) ? ask : first), null);
}

/** Null, never, is after everything. */
function isBefore(left: number | null, right: number | null): boolean {
  return left !== null && (right === null || left < right);
}
