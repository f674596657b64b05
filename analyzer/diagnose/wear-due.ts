import type { Tunables } from '../../collector/contract/index.ts';
import type { ExcessAir } from '../baseline/excess-air.ts';
import { rampDeviations, wearBeyond } from '../detect/ramp-limits.ts';
import { type LimitBelief, limitBelief } from '../forecast/change-limit.ts';
import type { ShareBelief } from '../forecast/limit-share.ts';
import { normalCdf, normalQuantile } from '../stats/normal.ts';

/**
 * Share of the limit that has to be passed, and how surely. Source: the contract's half; the surety is own choice: half of the excess air at a limit is
 * some 56 % of the loss there, because the last percents of air make up for less, and that is the middle, in ln, of 35 to 90 %. To ask for more than
 * even odds is to tell inserts later than in the middle: three to two is asked; two to one where the air alone speaks and no insert was ever found
 * worn.
 */
export const SHARE = 0.5;
export const SURETY = { byAir: 0.65, byLives: 0.6 };
/** Not before this share of the limit: neither the likeliest excess, nor but the rest of what is believed. Source: the contract's third; how surely is own choice. */
export const NOT_BEFORE = 1 / 3;
const NOT_BEFORE_SURETY = 0.9;

/** Probability that more than this share of the limit is used. */
export function chancePast({ log, sd }: ShareBelief, share: number): number {
  return 1 - normalCdf((Math.log(share) - log) / sd);
}

/**
 * Deviation of ln(1 + excess) from which on the air says nothing of an insert: as wide as any limit is high, it reaches from none to many times the
 * limit. Source: own choice, the settings' limit of 20 % and more.
 */
const UNTOLD_SD = 0.2;

/** What the decision takes from the settings. */
type Asked = Pick<Tunables, 'smallestChange' | 'falseAlarmsPerGunYear'>;

/**
 * Whether a worn insert is to be told: credibly past half its limit, not before a third of it, and the null of a ramp (wear below
 * the smallest change worth a visit) so far behind as the false alarms accepted ask. The age of an insert met in the gun is borrowed from
 * others and stays wide: to be as sure would be to wait for the limit, so there the better time decides, once the excess that is shown leaves the
 * smallest change behind.
 */
export function isWearDue(
  share: ShareBelief,
  limit: LimitBelief,
  excess: Pick<ExcessAir, 'wear' | 'wearSd'>,
  asked: Asked,
): boolean {
  if (!mayBeDue(limit, excess)) return false;
  if (share.tellNow !== undefined) return isWorthVisit(excess, asked) && share.tellNow();
  return (
    isNullBehind(share, excess, asked) &&
    chancePast(share, SHARE) >= (share.excess === null ? SURETY.byAir : SURETY.byLives) &&
    chancePast(share, NOT_BEFORE) >= NOT_BEFORE_SURETY
  );
}

/** How surely the air of an insert of unknown age has to be beyond the smallest change. Source: own choice: what is shown with it are the 10 and 90 % points, and the lower of them is worth a visit. */
const WORTH_SURETY = 0.9;

function isWorthVisit(
  { wear, wearSd }: Pick<ExcessAir, 'wear' | 'wearSd'>,
  { smallestChange }: Pick<Asked, 'smallestChange'>,
): boolean {
  return wear - Math.log1p(smallestChange) > normalQuantile(WORTH_SURETY) * wearSd;
}

/** False where the air alone says that an insert is not to be told, whatever is believed of its share of the limit: which takes longer to reckon. */
export function mayBeDue(limit: LimitBelief, { wear, wearSd }: Pick<ExcessAir, 'wear' | 'wearSd'>): boolean {
  return wearSd <= UNTOLD_SD && Math.expm1(wear) >= NOT_BEFORE * Math.exp(limit.log);
}

/**
 * Where no insert was ever found worn, all may wear no further than the smallest change: the air has to rule that out. Past lives that
 * ended worn rule it out as well, as far as this one resembles them.
 */
function isNullBehind(
  { excess }: ShareBelief,
  { wear, wearSd }: Pick<ExcessAir, 'wear' | 'wearSd'>,
  { smallestChange, falseAlarmsPerGunYear }: Asked,
): boolean {
  if (excess === null)
    return wear - Math.log1p(smallestChange) > wearBeyond(falseAlarmsPerGunYear, smallestChange, wearSd);
  return excess.log - Math.log(smallestChange) > rampDeviations(falseAlarmsPerGunYear, smallestChange) * excess.sd;
}

/**
 * Excess air at which an insert that was logged as new is told, where the air alone speaks and the log has not taught the limit: by its share
 * of the limit, and by the null of a ramp. The larger decides.
 *
 * @param limit change limit as a share
 * @param excessSd deviation of ln(1 + excess)
 */
export function wearDueAt(limit: number, excessSd: number, asked: Asked): { byLimit: number; byChange: number } {
  const half = SHARE * limit;
  const sd = Math.hypot((excessSd * (1 + half)) / half, limitBelief([], limit).sd);
  const { smallestChange, falseAlarmsPerGunYear } = asked;
  return {
    byLimit: Math.max(
      half * Math.exp(normalQuantile(SURETY.byAir) * sd),
      NOT_BEFORE * limit * Math.exp(normalQuantile(NOT_BEFORE_SURETY) * sd),
    ),
    byChange: Math.expm1(Math.log1p(smallestChange) + wearBeyond(falseAlarmsPerGunYear, smallestChange, excessSd)),
  };
}
