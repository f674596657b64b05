import { isPartId } from '../../collector/contract/index.ts';
import { BENCH_CHECKS } from '../advise/bench-checks.ts';

/** How far past new a reading may lie before it is a slip, as share of the way from worn to new. Source: own choice. */
const SLACK = 0.5;

/** Why a measurement cannot be of this part, in a sentence; null where it can. */
export function measureFault(part: string, measured: { readonly value: number; readonly unit: string }): string | null {
  const told = `found ${measured.value} ${measured.unit}`;
  const measure = isPartId(part) ? BENCH_CHECKS[part].measure : null;
  if (measure === null) return `${told}; expected none: nothing is measured on ${part}`;
  if (measured.unit !== measure.unit) return `${told}; expected the ${measure.what} in ${measure.unit}`;
  const slack = SLACK * Math.abs(measure.new - measure.worn);
  const low = Math.min(measure.new, measure.worn);
  const high = Math.max(measure.new, measure.worn) + slack;
  return measured.value < low || measured.value > high
    ? `${told}; expected a ${measure.what} of ${low} to ${high} ${measure.unit} (new: ${measure.new}, worn: ${measure.worn})`
    : null;
}
