import { usualElasticity } from '../baseline/excess-air.ts';
import { PATTERN_OF, patternOdds } from '../baseline/line-pattern.ts';
import { LINE_SMALL } from '../detect/ramp-rate.ts';
import type { Candidate } from './finding-book.ts';
import type { Bench } from './site-view.ts';

/** Loss of the conveying line up to which it is sound. Source: own choice, a third of what is worth a look. */
const SOUND = LINE_SMALL.conveying / 3;
/** How far what a pump gives for its air strays in the weeks for which a line clogs, ln output: measured, set by hand, and where the powder is not read. Source: own choice, weeks and lots; hands; powders. */
const STRAY = { measured: 0.05, set: 0.07, unread: 0.12 };
/**
 * What speaks for each cause beforehand: one pressure and one flow cannot tell them apart (handbook section 3). Source: own choice; clogged filters are common, gauges and meters that drift are not.
 */
const BEFORE = { filter: 0.84, gauge: 0.07, meter: 0.07 };

/** ln of what the gun gives for its air, beside what guns share; null where the output says nothing of it. */
function pumpEffect({ gun, pool, memory }: Bench): number | null {
  const known = pool.guns[memory.id];
  if (known === undefined || gun.output === 'coupled') return null;
  const { mean } = pool.gaussian;
  const hidden = known.powders[''];
  const powder = hidden === undefined ? 0 : mean[hidden]!;
  return mean[known.level]! + powder + mean[known.week]! + mean[known.shift]! - mean[known.wear]! - mean[known.leak]!;
}

/** Remembers what the pump gives while the line before it is sound. */
export function followSoundPump(bench: Bench, loss: number): void {
  if (Math.abs(loss) > SOUND) return;
  const effect = pumpEffect(bench);
  bench.memory.soundPump = effect === null ? null : { effect, insert: bench.memory.insert.since };
}

/** Odds that what the pump gives speaks for a meter that reads low by `loss`, against a line that passes less: a pump does not get better. */
function meterOdds({ memory, pool, gun }: Bench, now: number | null, loss: number): number {
  const before = memory.soundPump;
  if (now === null || before === null || before.insert !== memory.insert.since || loss <= 0) return 1;
  const gain = now - before.effect;
  const sd = memory.powder === '' ? STRAY.unread : gun.output === 'setpoint' ? STRAY.set : STRAY.measured;
  const meter = (gain - usualElasticity(pool, memory.id) * loss) / sd;
  // An insert that wears meanwhile gives less: that says nothing against a filter.
  const filter = Math.max(0, gain) / sd;
  return Math.exp(0.5 * (filter * filter - meter * meter));
}

/**
 * What passes less conveying air than it did, by `loss` of its pressure: the filter, the gauge, or the flow meter, which then reads low. Told by how the loss goes with
 * pressure, and by the output: when that rises for the air that is read as the line loses, it is the meter.
 *
 * @param loss share of the pressure
 */
export function lineCauses(bench: Bench, loss: number): Candidate[] {
  const pattern = patternOdds(bench.memory.conveying.pattern);
  const weights = {
    filter: BEFORE.filter * pattern[PATTERN_OF.filter],
    gauge: BEFORE.gauge * pattern[PATTERN_OF.gauge],
    meter: BEFORE.meter * pattern[PATTERN_OF.meter] * meterOdds(bench, pumpEffect(bench), loss),
  };
  const told = BEFORE.filter + BEFORE.gauge + BEFORE.meter;
  const share = (weight: number): number => (told * weight) / (weights.filter + weights.gauge + weights.meter);
  return [
    { cause: 'conveying-filter', probability: share(weights.filter) },
    { cause: 'sensor:conveying/pressure', probability: share(weights.gauge) },
    { cause: 'sensor:conveying/flow', probability: share(weights.meter) },
  ].sort((a, b) => b.probability - a.probability);
}

/** Odds of the meter by the output from which that is told as what speaks for it. Source: own choice, three to one. */
const OUTPUT_SPEAKS = 3;

/** What speaks for the likeliest of these causes, as a sentence for a fitter. */
export function lineInWords(bench: Bench, loss: number): string {
  const [first] = lineCauses(bench, loss);
  if (first!.cause === 'conveying-filter')
    return 'output for the same air is as before: not the pump, what is before it; blow through the filter to tell it from the gauge';
  if (first!.cause === 'sensor:conveying/flow' && meterOdds(bench, pumpEffect(bench), loss) > OUTPUT_SPEAKS)
    return 'and the output for the air that is read has risen as much: no pump gets better, so the flow sensor reads low';
  return 'and not more so at low pressure than at high, as it would be with a clogged filter: compare flow sensor and gauge';
}
