import { z } from 'zod';
import type { PartId } from '../../collector/contract/index.ts';

/** How often a part is to be seen to: whichever of the three comes first; null where that does not count. */
export interface Interval {
  readonly sprayHours: number | null;
  readonly kilograms: number | null;
  readonly days: number | null;
}

/** How a part is kept. */
export interface PartRule extends Interval {
  /** What is due at the end of the interval. */
  readonly work: 'change' | 'check';
  /** True where a missed check can hurt: earthing by conductive hoses and seals, high voltage. The air never pushes it back. */
  readonly safetyRelevant: boolean;
  /** Whether air that shows the part to be well may move the work past its interval. Never where it is safety-relevant. */
  readonly airMayExtend: boolean;
}

const rule = (work: PartRule['work'], interval: Partial<Interval>, more: Partial<PartRule> = {}): PartRule => ({
  ...{ sprayHours: null, kilograms: null, days: null },
  ...interval,
  ...{ work, safetyRelevant: false, airMayExtend: false },
  ...more,
});

/**
 * The usual intervals. Common practice, no source (handbook of the trade, section 2): the insert about a month of one shift, 50 to 65 spray
 * hours; filters and fluidizing ring twice a year; inlet filter and hose yearly; the gun tube in years; electrode holder and
 * nozzle in months, about three of one shift and the powder that goes through in it; seals at each sign of a leak, so without interval.
 * Days do not wear an insert: it has none.
 */
export const PART_RULES: Readonly<Record<PartId, PartRule>> = {
  'pump-insert': rule('change', { sprayHours: 60 }, { airMayExtend: true }),
  'pump-seals': rule('check', {}, { safetyRelevant: true }),
  'gun-seals': rule('check', {}, { safetyRelevant: true }),
  'conveying-filter': rule('change', { days: 182 }),
  'supplementary-filter': rule('change', { days: 182 }),
  'fluidizing-ring': rule('change', { days: 182 }),
  'inlet-filter': rule('change', { days: 365 }),
  'powder-hose': rule('check', { days: 365 }, { safetyRelevant: true }),
  'gun-tube': rule('check', { days: 730 }),
  'electrode-holder': rule('check', { sprayHours: 170, kilograms: 1500 }, { safetyRelevant: true }),
  nozzle: rule('check', { sprayHours: 170, kilograms: 1500 }),
};

const amount = (most: number) => z.number().positive().max(most).nullable().optional();

/** What a shop sets in place of the usual; a field left out stays as it is, null takes that count away. */
export const RuleOverride = z
  .strictObject({
    sprayHours: amount(100_000).meta({ description: 'Interval in spray hours; null: does not count', unit: 'h' }),
    kilograms: amount(10_000_000).meta({ description: 'Interval in powder sprayed; null: does not count', unit: 'kg' }),
    days: amount(10_000).meta({ description: 'Interval in calendar days; null: does not count', unit: 'd' }),
    work: z.enum(['change', 'check']).optional().meta({ description: 'What is due at its end' }),
    airMayExtend: z
      .boolean()
      .optional()
      .meta({ description: 'Whether good air may move the work past its interval; never for safety-relevant parts' }),
  })
  .meta({ id: 'IntervalOverride' });
export type RuleOverride = z.infer<typeof RuleOverride>;

/** The rule that holds for a part of a gun, and where it comes from. */
export interface RuleInForce extends PartRule {
  readonly from: 'usual' | 'site' | 'gun';
}

/**
 * The rule for a part: the usual one, changed by what the site sets for the part, changed by what is set for this gun.
 * Whatever is set, the air never extends a safety-relevant part.
 *
 * @param set looks up what was set for a part, for a gun or (null) for the whole site
 */
export function ruleFor(
  gun: string,
  part: PartId,
  set: (gun: string | null, part: PartId) => RuleOverride | null,
): RuleInForce {
  const usual = PART_RULES[part];
  const site = set(null, part);
  const own = set(gun, part);
  const merged = { ...usual, ...given(site), ...given(own) };
  return {
    ...merged,
    airMayExtend: merged.airMayExtend && !usual.safetyRelevant,
    from: own !== null ? 'gun' : site !== null ? 'site' : 'usual',
  };
}

/** The fields that were given: one left out must not overwrite. */
function given(set: RuleOverride | null): Partial<PartRule> {
  return Object.fromEntries(Object.entries(set ?? {}).filter(([, value]) => value !== undefined));
}
