import { PRIORS } from '../baseline/pump-priors.ts';
import { isAtStop } from '../baseline/regulator-stop.ts';
import { lineDeviations } from '../detect/ramp-limits.ts';
import { LASTING_HOURS, LINE_RAMPS } from '../detect/ramp-rate.ts';
import { stepHours } from '../detect/step-hours.ts';
import { STEP_SLACK } from '../detect/step-limits.ts';
import type { PartSight } from '../sight.ts';
import { NAMED_HOURS } from './judge-step.ts';
import { ALONE } from './loss-alone.ts';
import type { Bench } from './site-view.ts';
import { UNREAD_HOURS } from './tell-wear.ts';
import { AT_STOP } from './wear-words.ts';

/** Which of the channels that diagnosis rests on this gun has shown, and how good its output is. */
interface Fitted {
  readonly output: 'measured' | 'setpoint' | 'none';
  readonly powder: boolean;
  readonly ripple: boolean;
  readonly conveying: boolean;
  readonly supplementary: boolean;
  readonly fluidizing: boolean;
  readonly supply: boolean;
}

/**
 * What can and cannot be seen of each part of a gun with the channels that it has shown: the smallest change and the spray
 * hours to tell it. From theory: a step of twice the chart's slack, or the settings' smallest change where that is more, and the average
 * run length of the chart to it; a ramp's slack and the time for which it has to last.
 *
 * @returns one entry a part, in the contract's order
 * Source: run lengths of K. W. Kemp (1961), see cusumRunLength; what air shows of which part: handbook section 2.
 */
export function sightOf(bench: Bench): PartSight[] {
  const fitted = fittedOf(bench);
  return [
    inletFilter(bench, fitted),
    line(bench, 'fluidizing-ring', fitted.fluidizing, 'fluidizing', ['fluidizing/pressure', 'fluidizing/flow']),
    seals(bench, fitted, 'pump-seals'),
    insert(bench, fitted),
    line(bench, 'conveying-filter', fitted.conveying, 'conveying', ['conveying/pressure', 'conveying/flow']),
    line(bench, 'supplementary-filter', fitted.supplementary, 'supplementary', [
      'supplementary/pressure',
      'supplementary/flow',
    ]),
    behind('powder-hose', fitted),
    seals(bench, fitted, 'gun-seals'),
    behind('gun-tube', fitted),
    unseen('electrode-holder'),
    unseen('nozzle'),
  ];
}

function fittedOf({ gun, memory, pool }: Bench): Fitted {
  const known = pool.guns[memory.id] !== undefined && gun.output !== 'coupled';
  return {
    output: !known ? 'none' : gun.output === 'setpoint' ? 'setpoint' : 'measured',
    powder: memory.powder !== '',
    ripple: memory.ripple.blocks > 0,
    conveying: memory.conveying.blocks > 0,
    supplementary: memory.supplementary.blocks > 0,
    fluidizing: memory.fluidizing.blocks > 0,
    supply: memory.sag.blocks > 0,
  };
}

/** Deviation of what one block says of the pumping effect, as ln of air. */
function blockAirSd({ memory, pool }: Bench, { output }: Fitted): number {
  const own = output === 'setpoint' ? [PRIORS.setBlock, PRIORS.notch.sd] : [PRIORS.block, PRIORS.shift.sd];
  const unrest = Math.sqrt(Math.max(pool.guns[memory.id]?.unrest ?? 1, 1));
  return (Math.hypot(...own, PRIORS.site.sd) * unrest) / PRIORS.elasticity.mean;
}

/** Spray hours that a chart of steps needs on the average to a shift, deviations of a block. */
function hoursTo(shift: number, bench: Bench): number {
  return stepHours(bench.tunables.falseAlarmsPerGunYear, shift);
}

/** Where powders are not read they have to come round before a leak is told from them, spray hours, and smaller ones hardly are (air). Source: own choice, seen on simulated halls: half of the leaks from there on, most within some three hours. */
const UNREAD = { hours: 3, smallest: 0.08 };

function seals(bench: Bench, fitted: Fitted, part: 'pump-seals' | 'gun-seals'): PartSight {
  if (fitted.output === 'none' && !fitted.ripple)
    return blind(part, ['powder/output', 'conveying/ripple'], 'neither output nor ripple is read');
  if (!fitted.powder && !fitted.ripple && fitted.output === 'setpoint')
    return blind(
      part,
      ['powder/id', 'conveying/ripple'],
      'with a set output and without the powder’s name a leak looks like another powder, or another hand',
    );
  if (fitted.output === 'none')
    return {
      ...{ part, seen: 'candidate', smallestChange: null, of: null },
      ...{ sprayHours: round(hoursTo(3, bench)), missing: ['powder/output'] },
      why: 'only ripple tells of a leak: how much air it costs is not known',
    };
  const sd = blockAirSd(bench, fitted);
  const unread = !fitted.powder && !fitted.ripple;
  const smallest = Math.max(
    Math.log1p(bench.tunablesOf(part).smallestChange) * (fitted.ripple ? 0.5 : 1),
    2 * STEP_SLACK * sd,
    unread ? Math.log1p(UNREAD.smallest) : 0,
  );
  const set = fitted.output === 'setpoint';
  // What a hand hides of the loss is never known well enough to name the seals before.
  const pulsing = set ? NAMED_HOURS : 0;
  const proof = fitted.ripple ? pulsing : unread ? UNREAD.hours : set ? ALONE.setHours : ALONE.hours;
  // Ripple rises by half and more at a leak, many of its deviations.
  const shift = fitted.ripple ? Math.max(smallest / sd, 3) : smallest / sd;
  return {
    part,
    // Those at the gun's base look like the pump's but for a smaller loss.
    seen: part === 'pump-seals' ? 'first' : 'candidate',
    smallestChange: round(Math.expm1(smallest)),
    of: 'excess air',
    sprayHours: round(hoursTo(shift, bench) + proof),
    missing: fitted.ripple ? [] : [...(fitted.powder ? [] : ['powder/id']), 'conveying/ripple'],
    why: fitted.ripple
      ? `a step in air per output together with ripple${part === 'gun-seals' ? '; from some 6 % of air on it is told as the pump’s seals, and a hose pull decides' : ''}`
      : `a step in air per output; which seals it is only a bench check tells${fitted.powder ? '' : ', and another powder looks alike until those in use came round'}`,
  };
}

function insert(bench: Bench, fitted: Fitted): PartSight {
  const part = 'pump-insert';
  if (bench.gun.output === 'coupled' && bench.pool.guns[bench.memory.id] !== undefined)
    return {
      ...{
        part,
        seen: 'first',
        smallestChange: round(bench.tunablesOf(part).changeLimitExcessAir / 2),
        of: 'excess air',
      },
      ...{ sprayHours: UNREAD_HOURS, missing: ['powder/output'] },
      why: 'the output is computed from the air, so what people ask is not read: wear shows only as air that rises at the usual recipe',
    };
  if (fitted.output === 'none')
    return blind(part, ['powder/output'], 'without an output set apart from the air wear does not show');
  const stop = bench.pool.guns[bench.memory.id]?.stop;
  if (stop !== undefined && isAtStop(stop)) return blind(part, [], AT_STOP);
  const sd = blockAirSd(bench, fitted);
  const tunables = bench.tunablesOf(part);
  // Half of the limit (contract section 6), or the smallest change worth a visit beyond what shifts and weeks do.
  const smallest = Math.max(
    tunables.changeLimitExcessAir / 2,
    Math.expm1(Math.log1p(tunables.smallestChange) + 1.64 * sd),
  );
  return {
    ...{ part, seen: 'first', smallestChange: round(smallest), of: 'excess air' },
    sprayHours: round(hoursTo(Math.max(Math.log1p(smallest) / sd, 2 * STEP_SLACK), bench) + shiftHours(bench)),
    missing: [
      ...(fitted.powder ? [] : ['powder/id']),
      ...(fitted.ripple ? [] : ['conveying/ripple']),
      ...(fitted.conveying ? [] : ['conveying/pressure']),
    ],
    why: `a slow rise of air per output${fitted.conveying ? ' at unchanged conductance' : ''}`,
  };
}

/** Spray hours of a shift: wear has to outlast one to be no shift's doing. Source: handbook section 2, 8 h at 30–40 % where none is known yet. */
function shiftHours({ memory }: Bench): number {
  return memory.shift.days >= 1 ? memory.shift.usual : 2.5;
}

/** Smallest ramp of a line that is told, with the surety that the promise asks for. */
function smallestRamp({ tunablesOf }: Bench, part: PartSight['part'], of: keyof typeof LINE_RAMPS): number {
  const { small, sd } = LINE_RAMPS[of];
  return round(small + lineDeviations(tunablesOf(part).falseAlarmsPerGunYear) * sd);
}

function line(
  bench: Bench,
  part: PartSight['part'],
  seen: boolean,
  of: keyof typeof LINE_RAMPS,
  channels: readonly string[],
): PartSight {
  if (!seen) return blind(part, channels, 'its line is not read');
  return {
    ...{ part, seen: 'first', of: 'conductance', missing: [] },
    smallestChange: smallestRamp(bench, part, of),
    sprayHours: LASTING_HOURS,
    why: 'less air passes at the same pressure; a drifting gauge looks alike until it is checked',
  };
}

function inletFilter(bench: Bench, { supply }: Fitted): PartSight {
  if (!supply) return blind('inlet-filter', ['supply/pressure'], 'the inlet pressure is not read');
  return {
    ...{ part: 'inlet-filter', seen: 'first', of: 'inlet pressure, bar', missing: [] },
    smallestChange: smallestRamp(bench, 'inlet-filter', 'inlet'),
    sprayHours: LASTING_HOURS,
    why: 'inlet pressure sags more as total flow rises, on this unit alone',
  };
}

/** Hose and gun tube sit behind the pump. */
function behind(part: 'powder-hose' | 'gun-tube', { output }: Fitted): PartSight {
  if (output === 'none')
    return blind(part, ['powder/output'], 'without output a change of back pressure does not show');
  return {
    ...{ part, seen: 'candidate', smallestChange: null, of: null, sprayHours: null, missing: [] },
    why: 'back pressure shows in the air only where the nozzle is not choked: named beside others, with its bench check',
  };
}

function unseen(part: 'electrode-holder' | 'nozzle'): PartSight {
  return blind(part, [], 'nothing reliable in the air: kept by hours, kilograms and inspection');
}

function blind(part: PartSight['part'], missing: readonly string[], why: string): PartSight {
  return { part, seen: 'none', smallestChange: null, of: null, sprayHours: null, missing: [...missing], why };
}

const round = (value: number): number => Number(value.toPrecision(2));
