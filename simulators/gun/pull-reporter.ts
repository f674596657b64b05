import type { Frames } from '../../collector/contract/frames.ts';
import type { HallAir } from '../hall/hall-air.ts';
import type { Random } from '../random.ts';
import type { NumericChannel, Sensor } from '../sensors/sensor.ts';
import type { Condition, WorkingPoint } from './condition.ts';
import type { GunState } from './gun-state.ts';
import { type Instant, Reporter } from './reporter.ts';

/** A trigger pull at its working point. `shown`: what the output channel says, NaN when it measures. */
export interface PullShape {
  readonly start: number;
  readonly end: number;
  readonly powder: number;
  readonly point: WorkingPoint;
  readonly condition: Condition;
  readonly fluidizingBar: number;
  readonly shown: number;
}

/** Time constants, s: air comes and goes, powder follows it, an output meter smooths. Source: own choice, because
 * hoses are some metres long and air moves at 10 m/s and more. */
const AIR_S = 0.5;
const POWDER_S = 0.9;

/** Turns pulls, purges and idle time into the reports of a gun's node, with what happens within a pull. */
export class PullReporter {
  readonly #state: GunState;
  readonly #air: HallAir;
  readonly #random: Random;
  readonly #reporter: Reporter;
  readonly #meterS: number;
  readonly #now: Instant;
  #nextIdle = 0;
  #afterPull = 0;
  #meter = 0;
  #wander = 0;
  #fluidizing = 0;
  #inletLoss = 0;

  constructor(state: GunState, air: HallAir, random: Random) {
    this.#state = state;
    this.#air = air;
    this.#random = random;
    this.#reporter = new Reporter(state.spec, random);
    this.#meterS = random.uniform(3, 10);
    this.#now = {
      conveyingBar: 0,
      conveyingNm3h: 0,
      rippleBar: 0,
      supplementaryBar: 0,
      supplementaryNm3h: 0,
      fluidizingBar: 0,
      fluidizingNm3h: 0,
      inletBar: 0,
      shownGmin: Number.NaN,
      massKg: 0,
    };
  }

  sensor(channel: NumericChannel): Sensor | undefined {
    return this.#reporter.sensor(channel);
  }

  take(strings: readonly string[]): Frames {
    return this.#reporter.sink.take(strings);
  }

  switchOn(timeMs: number): void {
    const first = timeMs + this.#random.uniform(0, 20_000);
    if (first <= this.#nextIdle) return;
    this.#nextIdle = first;
    this.#afterPull = 0;
  }

  /** Inlet of the unit behind its regulator and filter, bar gauge, at some air besides the fluidizing air. */
  inletBar(timeMs: number, airNm3h: number, addedLoss: number): number {
    const { inlet, line } = this.#state.spec;
    const before = this.#air.lines[line]!.lineBar(timeMs);
    const regulated = Math.min(inlet.setBar + 0.03 * (before - 6.8), before - 0.15);
    return Math.max(0, regulated - (inlet.lossPerNm3h + addedLoss) * (airNm3h + this.#fluidizing));
  }

  /** Idle reports up to a time: after a pull a few at the fast pace, then slowly. */
  idleUntil(timeMs: number, powder: number): void {
    const spec = this.#state.spec;
    const now = this.#now;
    while (this.#nextIdle < timeMs) {
      const time = this.#nextIdle;
      const since = (time - this.#afterPull) / 1000;
      const fade = since < 20 ? Math.exp(-since / (AIR_S * 1.4)) : 0;
      now.conveyingBar *= fade;
      now.conveyingNm3h *= fade;
      now.supplementaryBar *= fade;
      now.supplementaryNm3h *= fade;
      now.rippleBar = 0.004 + 0.03 * fade;
      now.fluidizingNm3h = this.#fluidizing;
      now.inletBar = this.inletBar(time, 0, this.#inletLoss);
      now.massKg = this.#state.box.massKg;
      this.#meter *= Math.exp(-Math.min(since, 20) / this.#meterS);
      now.shownGmin = spec.output === 'measured' || spec.output === 'scale' ? this.#meter : Number.NaN;
      this.#reporter.report(time, now, false, powder);
      this.#nextIdle = time + (since < 8 ? this.#reporter.interval : spec.idleMs);
    }
  }

  /** Reports a pull and returns the kilograms that it lifted. */
  pull(shape: PullShape): number {
    this.idleUntil(shape.start, shape.powder);
    const { point, condition } = shape;
    const random = this.#random;
    const now = this.#now;
    const scatter = 0.012 + condition.unsteady;
    const surge = random.uniform(0.1, 0.5);
    const reference = this.inletBar(shape.start, point.totalNm3h, condition.inletLoss);
    const baseRipple = (0.007 + 0.002 * point.conveyingBar) * condition.ripple;
    this.#fluidizing = point.fluidizingNm3h;
    this.#inletLoss = condition.inletLoss;
    now.fluidizingBar = shape.fluidizingBar;
    let time = shape.start + random.uniform(0.05, 1) * this.#reporter.interval;
    let last = shape.start;
    let kilograms = 0;
    this.#meter *= Math.exp(-1);
    for (;;) {
      const until = Math.min(time, shape.end);
      const age = (until - shape.start) / 1000;
      const step = (until - last) / 1000;
      const rise = 1 - Math.exp(-age / AIR_S);
      const keep = Math.exp(-step / 6);
      this.#wander = this.#wander * keep + random.normal() * scatter * Math.sqrt(1 - keep * keep);
      const inlet = this.inletBar(until, point.totalNm3h * rise, condition.inletLoss);
      // The regulator lets a little of the inlet through; choked air follows absolute pressure.
      const lift = 1 + 0.01 * (inlet - reference);
      const air = (point.conveyingBar * lift + 1) / (point.conveyingBar + 1);
      const powder = 1 - Math.exp(-age / POWDER_S);
      const output = point.outputGmin * (1 + this.#wander) * powder * (1 + surge * Math.exp(-age / 1.5));
      kilograms += (output * step) / 60_000;
      if (until === shape.end) break;
      this.#meter += (output - this.#meter) * (1 - Math.exp(-step / this.#meterS));
      now.conveyingBar = point.conveyingBar * lift * rise;
      now.conveyingNm3h = point.conveyingNm3h * air * rise;
      now.rippleBar = baseRipple + 0.04 * Math.exp(-age / 1.5);
      now.supplementaryBar = point.supplementaryBar * rise;
      now.supplementaryNm3h = point.supplementaryNm3h * rise;
      now.fluidizingNm3h = point.fluidizingNm3h;
      now.inletBar = inlet;
      now.massKg = this.#state.box.massKg - kilograms;
      now.shownGmin = Number.isNaN(shape.shown) ? this.#meter : shape.shown;
      this.#reporter.report(time, now, true, shape.powder);
      last = until;
      time += this.#reporter.interval;
    }
    // The steady values fade from here.
    now.conveyingBar = point.conveyingBar;
    now.conveyingNm3h = point.conveyingNm3h;
    now.supplementaryBar = point.supplementaryBar;
    now.supplementaryNm3h = point.supplementaryNm3h;
    this.#afterPull = shape.end;
    this.#nextIdle = Math.max(time, shape.end + 50);
    return kilograms;
  }

  /** Blows the line clean: air without powder, mostly without the trigger. */
  purge(startMs: number, bursts: number, powder: number): void {
    const random = this.#random;
    const now = this.#now;
    let time = startMs;
    for (let burst = 0; burst < bursts; burst++) {
      this.idleUntil(time, powder);
      const end = time + random.uniform(4, 9) * 1000;
      const trigger = random.chance(0.25);
      const bar = random.uniform(2.5, 3.5);
      const nozzle = this.#state.spec.conveying.conductance * this.#state.nozzle;
      for (let at = time + random.uniform(0.2, 2) * 1000; at < end; at += this.#reporter.interval) {
        now.conveyingBar = bar;
        now.conveyingNm3h = (nozzle * (bar + 1)) / 0.302;
        now.supplementaryBar = bar;
        now.supplementaryNm3h = 2.5;
        now.rippleBar = 0.02;
        now.inletBar = this.inletBar(at, 6, this.#inletLoss);
        this.#meter *= 0.4;
        now.shownGmin =
          this.#state.spec.output === 'setpoint' || this.#state.spec.output === 'coupled' ? Number.NaN : this.#meter;
        this.#reporter.report(at, now, trigger, powder);
      }
      this.#afterPull = end;
      this.#nextIdle = end + random.uniform(0.3, 2) * 1000;
      time = end + random.uniform(5, 15) * 1000;
    }
  }
}
