import { excessForLoss, liftedPowder } from '../physics/throat.ts';
import type { Random } from '../random.ts';
import type { NumericChannel, Sensor } from '../sensors/sensor.ts';
import type { Life } from '../truth.ts';
import type { Fault } from './fault.ts';
import type { GunSpec } from './gun-spec.ts';
import type { GunTrap } from './gun-trap.ts';
import { Insert } from './insert.ts';
import type { PowderBox } from './powder-box.ts';

/** What changes about a gun while it is in use. */
export class GunState {
  readonly spec: GunSpec;
  readonly box: PowderBox;
  readonly faults: readonly Fault[];
  readonly traps: readonly GunTrap[];
  /** Sensors that wait for their exchange. */
  readonly exchanges: NumericChannel[] = [];
  readonly lives: Life[] = [];
  readonly #random: Random;
  insert: Insert;
  /** Small offset that each refit of the pump leaves, as a factor. */
  fitEffect = 1;
  /** Motive nozzle and hose against those of the first day, as factors. */
  nozzle = 1;
  hose = 1;
  sprayMs = 0;
  kilograms = 0;

  constructor(
    spec: GunSpec,
    random: Random,
    box: PowderBox,
    faults: readonly Fault[],
    traps: readonly GunTrap[],
    startMs: number,
    wornShare: number,
    logged: boolean,
  ) {
    this.spec = spec;
    this.#random = random;
    this.box = box;
    this.faults = faults;
    this.traps = traps;
    this.insert = new Insert(spec, random, startMs, wornShare, !logged, logged);
  }

  /** Counts a pull: everything that wears, wears. */
  sprayed(startMs: number, endMs: number, kilograms: number, conveyingNm3h: number, abrasiveness: number): void {
    const duration = endMs - startMs;
    this.sprayMs += duration;
    this.kilograms += kilograms;
    this.insert.wear(kilograms, conveyingNm3h, abrasiveness, duration, endMs);
    for (const fault of this.faults) fault.advance(endMs, duration);
  }

  /** A new insert goes in. */
  changeInsert(timeMs: number, logged: boolean, found: Life['found']): void {
    this.lives.push(this.insert.story({ timeMs, logged, found }));
    this.insert = new Insert(this.spec, this.#random, timeMs, 0, false, logged);
    this.refit(0.006);
  }

  /** The pump was apart: seals and parts sit a little differently. */
  refit(spread: number): void {
    this.fitEffect = Math.exp(this.#random.normal(0, spread));
  }

  closeShift(timeMs: number, powderFactor: number): void {
    const { spec } = this;
    const output = spec.recipes[0]!.outputGmin / powderFactor;
    const excess = excessForLoss(spec.throat, output, spec.usual.supplementaryNm3h, this.insert.loss);
    this.insert.chart(timeMs, Number.isFinite(excess) ? excess : null);
  }

  /** Output that the unit computes from its air alone: the curve of a new pump of this make. */
  coupledGmin(conveyingNm3h: number, supplementaryNm3h: number): number {
    return liftedPowder(this.spec.throat, conveyingNm3h, supplementaryNm3h);
  }

  /** Sets the sensors as the faults of this moment make them. */
  applySensorFaults(sensorOf: (channel: NumericChannel) => Sensor | undefined): void {
    for (const channel of this.exchanges.splice(0)) sensorOf(channel)?.exchange();
    for (const fault of this.faults) {
      const plan = fault.plan.sensor;
      if (!plan || !fault.started) continue;
      const sensor = sensorOf(plan.channel);
      if (!sensor) continue;
      if (fault.ended) continue;
      if (plan.kind === 'zero') sensor.extraZero = fault.size;
      else if (plan.kind === 'gain') sensor.extraGain = 1 + fault.size;
      else if (plan.kind === 'broken') sensor.broken = fault.size;
      else sensor.stick();
    }
  }
}
