import { linePressure } from '../physics/air-line.ts';
import { lossForExcess } from '../physics/throat.ts';
import type { NumericChannel } from '../sensors/sensor.ts';
import { type Condition, lossForConductance, usualTotal } from './condition.ts';
import type { GunSpec } from './gun-spec.ts';

export type FaultCause =
  | 'pump-seals'
  | 'gun-seals'
  | 'powder-hose'
  | 'gun-tube'
  | 'conveying-filter'
  | 'supplementary-filter'
  | 'fluidizing-ring'
  | 'inlet-filter'
  | 'sensor'
  | 'sensor:clock'
  | 'no-data';

/** What a fault's size means. */
export const FAULT_MEASURES: Readonly<Record<FaultCause, string>> = {
  'pump-seals': 'excess air at the usual output',
  'gun-seals': 'excess air at the usual output',
  'powder-hose': 'rise of the back pressure, share',
  'gun-tube': 'rise of the back pressure, share',
  'conveying-filter': 'loss of conductance at the usual setting, share',
  'supplementary-filter': 'loss of conductance at the usual setting, share',
  'fluidizing-ring': 'loss of conductance, share',
  'inlet-filter': 'sag at the usual total air, bar',
  sensor: 'zero in the channel’s unit, or gain as a share',
  'sensor:clock': 'offset, s',
  'no-data': 'silence, h',
};

/** One fault as a scenario wants it: when, how large, how fast, and when people mend it. */
export interface FaultPlan {
  readonly id: string;
  readonly cause: FaultCause;
  readonly gun: number;
  readonly shape: 'step' | 'ramp' | 'span';
  readonly onset: number;
  /** Step and span: the size; ramp: the size at which the part has to go. */
  readonly size: number;
  /** Ramp: spray hours from onset to that size. */
  readonly sprayHours: number;
  /** Mended at the first service after: ramp, this share of the limit; step, so many spray hours. Span: so many hours of time. */
  readonly mendAfter: number;
  readonly logged: boolean;
  /** Another part is changed first, which cures nothing. */
  readonly wrongFirst: string | null;
  /** Sensor faults only. */
  readonly sensor?: { readonly channel: NumericChannel; readonly kind: 'zero' | 'gain' | 'stuck' | 'broken' };
}

/** A fault of one gun while it lasts. */
export class Fault {
  readonly plan: FaultPlan;
  size = 0;
  sprayMs = 0;
  started = false;
  ended: { timeMs: number; by: string; logged: boolean } | null = null;
  reached70: number | null = null;
  wrongDone = false;

  constructor(plan: FaultPlan) {
    this.plan = plan;
  }

  get active(): boolean {
    return this.started && this.ended === null;
  }

  /** Brings the fault to a time, after so much spraying since the last call. */
  advance(timeMs: number, sprayMs: number): void {
    if (this.ended !== null || timeMs < this.plan.onset) return;
    this.started = true;
    this.sprayMs += sprayMs;
    if (this.plan.shape !== 'ramp') this.size = this.plan.size;
    else {
      this.size = this.plan.size * (this.sprayMs / 3_600_000 / this.plan.sprayHours);
      if (this.reached70 === null && Math.abs(this.size) >= 0.7 * Math.abs(this.plan.size)) this.reached70 = timeMs;
    }
  }

  /** True when people would mend it at the next service. */
  due(timeMs: number): boolean {
    if (!this.active) return false;
    if (this.plan.shape === 'ramp') return this.size / this.plan.size >= this.plan.mendAfter;
    if (this.plan.shape === 'step') return this.sprayMs >= this.plan.mendAfter * 3_600_000;
    return timeMs >= this.plan.onset + this.plan.mendAfter * 3_600_000;
  }

  end(timeMs: number, by: string, logged: boolean): void {
    this.ended = { timeMs, by, logged };
  }
}

/**
 * Writes what an active fault does to the gun's air into its condition.
 * Source: own choice, because strengths are not published; the directions are those of the trade's table of signatures.
 */
export function applyFault(fault: Fault, spec: GunSpec, condition: Condition): void {
  const size = fault.size;
  const usualOutput = spec.recipes[0]!.outputGmin;
  const loss = (excess: number): number =>
    lossForExcess(spec.throat, usualOutput, spec.usual.supplementaryNm3h, excess);
  switch (fault.plan.cause) {
    case 'pump-seals':
      condition.effect *= 1 - loss(size);
      condition.ripple *= 1.4 + 14 * size;
      condition.unsteady += 0.2 * size;
      break;
    case 'gun-seals':
      condition.effect *= 1 - loss(size);
      condition.ripple *= 1.3 + 20 * size;
      condition.back *= Math.max(0.5, 1 - 5 * size);
      break;
    case 'powder-hose':
    case 'gun-tube':
      condition.back *= 1 + size;
      break;
    case 'conveying-filter': {
      const tap = linePressure(spec.conveying, spec.usual.conveyingNm3h, 1, 293.15);
      condition.conveyingLoss += lossForConductance(Math.min(0.7, size), tap, spec.usual.conveyingNm3h);
      break;
    }
    case 'supplementary-filter': {
      const tap = linePressure(spec.supplementary, spec.usual.supplementaryNm3h, 1, 293.15);
      condition.supplementaryLoss += lossForConductance(Math.min(0.7, size), tap, spec.usual.supplementaryNm3h);
      break;
    }
    case 'fluidizing-ring':
      condition.fluidizing *= 1 - Math.min(0.8, size);
      condition.unsteady += 0.25 * size;
      condition.effect *= 1 - 0.25 * size * size;
      break;
    case 'inlet-filter':
      condition.inletLoss += size / usualTotal(spec);
      break;
    default:
  }
}
