import type { Frames } from '../../collector/contract/frames.ts';
import type { ShopDay, Span } from '../calendar/shop-day.ts';
import type { HallAir } from '../hall/hall-air.ts';
import type { Batch, BoothDay } from '../hall/work-plan.ts';
import type { Maintenance } from '../people/maintenance.ts';
import type { Operator } from '../people/operator.ts';
import { linePressure } from '../physics/air-line.ts';
import { Random } from '../random.ts';
import { type Condition, soundCondition, type WorkingPoint } from './condition.ts';
import { applyFault } from './fault.ts';
import type { GunSpec } from './gun-spec.ts';
import type { GunState } from './gun-state.ts';
import { trapAt } from './gun-trap.ts';
import { PullHistory } from './pull-history.ts';
import { PullReporter, type PullShape } from './pull-reporter.ts';
import { Wander } from './wander.ts';
import { workingPoint } from './working-point.ts';

/** Habits of spraying, scenario by scenario. */
export interface SprayHabits {
  /** Median of a pull and of the gap after it, s. */
  readonly pullS: number;
  readonly gapS: number;
  /** Chance that a gun is switched on but not used, each day. */
  readonly unusedChance: number;
}

/** One gun through its days: people, pump, wear and node together. */
export class GunSimulation {
  readonly spec: GunSpec;
  readonly state: GunState;
  readonly operator: Operator;
  readonly maintenance: Maintenance;
  readonly #air: HallAir;
  readonly #random: Random;
  readonly #habits: SprayHabits;
  readonly #atmosphereBar: number;
  readonly #reporter: PullReporter;
  readonly #condition: Condition = soundCondition();
  /** Pressure that a new insert needs at the usual recipe, bar gauge. */
  readonly #usualBar: number;
  /** When this gun began with another powder, or with another lot of the same, epoch ms. */
  readonly powderChanges: number[] = [];
  readonly lotChanges: number[] = [];
  readonly history = new PullHistory();
  readonly #lotSeen = new Map<number, number>();
  #batchKey = '';
  readonly #wander: Wander;
  #powderNow = 0;

  constructor(
    seed: number,
    state: GunState,
    operator: Operator,
    maintenance: Maintenance,
    air: HallAir,
    habits: SprayHabits,
    atmosphereBar: number,
  ) {
    this.spec = state.spec;
    this.state = state;
    this.operator = operator;
    this.maintenance = maintenance;
    this.#air = air;
    this.#random = new Random(seed, 'pulls', state.spec.id);
    this.#habits = habits;
    this.#wander = new Wander(state.spec, this.#random, air.nuisance.pull);
    this.#atmosphereBar = atmosphereBar;
    const need = state.spec.usual.conveyingNm3h;
    this.#usualBar = linePressure(state.spec.conveying, need, atmosphereBar, 293.15) - atmosphereBar;
    this.#reporter = new PullReporter(state, air, new Random(seed, 'node', state.spec.id));
  }

  /** What the node at the gun has read since the last call, at true times. */
  take(): Frames {
    return this.#reporter.take(this.#air.powders.map(({ id }) => id));
  }

  /** Runs one local day pull by pull; yields the time that is reached. */
  *steps(day: ShopDay, booth: BoothDay): Generator<number> {
    this.operator.newDay();
    const unused = this.#random.chance(this.#habits.unusedChance);
    for (const [index, shift] of day.shifts.entries()) {
      const week = Math.floor(shift.start / (7 * 86_400_000));
      const chance = this.#air.chance(this.spec.id, day.date, shift.index, week);
      const before = day.shifts[index - 1];
      // Nodes are switched on with the unit, some minutes before the shift.
      const on = before && shift.start - before.end < 1_200_000 ? shift.start : shift.start - 8 * 60_000;
      this.#reporter.switchOn(on);
      this.maintenance.serve(this.state, shift.start + 120_000, 'shift');
      this.#applyTraps(shift.start);
      this.#wander.startShift(shift.start);
      const changes = booth.changes.filter(({ start }) => start >= shift.start && start < shift.end);
      for (const batch of booth.batches.filter(({ start }) => start >= shift.start && start < shift.end)) {
        const change = changes.find(({ end }) => end === batch.start);
        if (change) {
          this.#reporter.purge(change.start + 20_000, this.#random.integer(2, 5), this.#powderNow);
          this.state.box.exchange();
          this.powderChanges.push(change.start);
          this.maintenance.serve(this.state, change.start + 90_000, 'colour-change');
        }
        if (!unused) yield* this.#spray(batch, shift.breaks, chance);
      }
      const goesOn = day.goesOn || day.shifts[index + 1] !== undefined;
      this.#reporter.idleUntil(shift.end + (goesOn ? 0 : 8 * 60_000), this.#powderNow);
      this.state.closeShift(shift.end, this.#air.powders[0]!.factor);
      yield shift.end;
    }
  }

  /** Wishes and regulators that differ for a while. */
  #applyTraps(timeMs: number): void {
    const { spec, operator, state } = this;
    operator.more = 1 + (trapAt(state.traps, 'more-powder', timeMs)?.size ?? 0);
    const stop = trapAt(state.traps, 'regulator-stop', timeMs);
    operator.stopBar = stop ? this.#usualBar * (1 - stop.size) : spec.stopBar;
  }

  *#spray(batch: Batch, breaks: readonly Span[], chance: number): Generator<number> {
    const random = this.#random;
    const key = `${batch.powder}/${batch.recipe}/${batch.shift}`;
    this.#powderNow = batch.powder;
    if (key !== this.#batchKey) {
      this.#batchKey = key;
      const powder = this.#air.powders[batch.powder]!;
      this.operator.takeUp(batch.recipe, powder.id, powder.factor, this.#atmosphereBar);
    }
    let time = batch.start + random.uniform(2, 40) * 1000;
    for (;;) {
      const pause = breaks.find((span) => time >= span.start - 30_000 && time < span.end);
      if (pause) time = pause.end + random.uniform(0, 90) * 1000;
      const length = Math.max(5, Math.min(60, random.lognormal(this.#habits.pullS, 0.6))) * 1000;
      if (time + length >= batch.end) return;
      this.#pull(time, length, batch, chance);
      yield time + length;
      const rest = random.chance(0.05) ? random.exponential(120) : 0;
      time += length + (random.lognormal(this.#habits.gapS, 0.7) + rest + 2) * 1000;
    }
  }

  #pull(start: number, length: number, batch: Batch, chance: number): void {
    const { state, spec } = this;
    const end = start + length;
    const condition = this.#conditionAt(start);
    this.#noteLot(batch.powder, start);
    const common = this.#air.weather.effect(start) * this.#air.lines[spec.line]!.effect(start);
    const supplied = state.box.prepare(start);
    const own = chance * this.#wander.next(start, state.box.massKg);
    const effect = common * own * this.#air.powderEffect(batch.powder, start);
    const around = {
      atmosphereBar: this.#atmosphereBar,
      airK: 273.15 + this.#air.weather.hallCel(start),
      effect: effect * supplied,
    };
    const set = this.operator.settings;
    const wanted = Math.min(set.conveyingBar, this.operator.stopBar);
    const inlet = this.#reporter.inletBar(
      start,
      spec.usual.conveyingNm3h + spec.usual.supplementaryNm3h,
      condition.inletLoss,
    );
    const held = Math.min(wanted, inlet - 0.3) * (1 + 0.01 * (inlet - spec.inlet.setBar));
    const point = workingPoint(spec, condition, around, { ...set, conveyingBar: Math.max(0.1, held) });
    const shape: PullShape = {
      start,
      end,
      powder: batch.powder,
      point,
      condition,
      fluidizingBar: set.fluidizingBar,
      shown: this.#shown(point),
    };
    const kilograms = this.#reporter.pull(shape);
    state.box.take(kilograms);
    this.history.add(start, length, batch.powder);
    state.sprayed(start, end, kilograms, point.conveyingNm3h, this.#air.powders[batch.powder]!.abrasiveness);
    // People judge the finish on good pulls; a bridging or empty box they see for what it is.
    if (supplied > 0.9) this.operator.look(point.outputGmin, batch.person);
  }

  #noteLot(powder: number, timeMs: number): void {
    const lot = this.#air.lotOf(powder, timeMs);
    const before = this.#lotSeen.get(powder);
    if (before !== undefined && before !== lot) this.lotChanges.push(timeMs);
    this.#lotSeen.set(powder, lot);
  }

  #conditionAt(timeMs: number): Condition {
    const condition = Object.assign(this.#condition, soundCondition());
    condition.effect = (1 - this.state.insert.loss) * this.state.fitEffect;
    condition.nozzle = this.state.nozzle;
    condition.back = this.state.hose;
    for (const fault of this.state.faults) {
      fault.advance(timeMs, 0);
      if (fault.active) applyFault(fault, this.spec, condition);
    }
    this.state.applySensorFaults((channel) => this.#reporter.sensor(channel));
    return condition;
  }

  /** What the output channel is about: NaN for the true output, else the number that is shown. */
  #shown(point: WorkingPoint): number {
    if (this.spec.output === 'setpoint') return this.operator.askedGmin;
    if (this.spec.output === 'coupled') return this.state.coupledGmin(point.conveyingNm3h, point.supplementaryNm3h);
    return Number.NaN;
  }
}
