import type { Measure } from '../analyzer/index.ts';

const PLACES: Record<Measure['unit'], number> = {
  share: 1,
  'per 1000 spray hours': 2,
  'per gun-year': 2,
  'spray hours': 2,
  'share of life': 3,
};

/** A number of a measure as people read it, without its unit's words. */
export function valueText(value: number, unit: Measure['unit']): string {
  if (Number.isNaN(value)) return '–';
  return unit === 'share' ? `${(100 * value).toFixed(PLACES.share)} %` : value.toFixed(PLACES[unit]);
}

/** A measure's value with its interval. */
export function estimateText({ estimate, unit }: Measure): string {
  if (estimate === null) return 'nothing to measure';
  const low = valueText(estimate.low, unit);
  const high = valueText(estimate.high, unit);
  return `${valueText(estimate.value, unit)} (${low} to ${high})`;
}

/** What a measure should reach, in words. */
export function reachText({ reach, unit }: Measure): string {
  if (reach === null) return '';
  const [low, high] = reach;
  if (low === Number.NEGATIVE_INFINITY) return `at most ${valueText(high, unit)}`;
  if (high === Number.POSITIVE_INFINITY) return `at least ${valueText(low, unit)}`;
  return `${valueText(low, unit)} to ${valueText(high, unit)}`;
}

/** The unit's words where the value does not carry them. */
export function unitText({ unit, estimate }: Measure): string {
  return unit === 'share' || estimate === null ? '' : unit;
}
