import { CHANNEL_NAMES, type Channel } from '../../collector/contract/channels.ts';
import type { Random } from '../random.ts';
import { type NumericChannel, SENSOR_KINDS, Sensor } from '../sensors/sensor.ts';
import { FrameSink } from './frame-sink.ts';
import type { GunSpec } from './gun-spec.ts';

/** Air and powder at an instant, as they truly are. */
export interface Instant {
  conveyingBar: number;
  conveyingNm3h: number;
  rippleBar: number;
  supplementaryBar: number;
  supplementaryNm3h: number;
  fluidizingBar: number;
  fluidizingNm3h: number;
  inletBar: number;
  /** What the output channel is about, before its sensor: NaN when it says nothing now. */
  shownGmin: number;
  massKg: number;
}

/** The sensor node at a gun: which sensors it has, and what it reports when. */
export class Reporter {
  readonly sink: FrameSink;
  readonly #spec: GunSpec;
  readonly #random: Random;
  readonly #sensors = new Map<NumericChannel, Sensor>();
  readonly #place: Record<Channel, number>;
  /** A set or coupled output is a number, not a measurement. */
  readonly #plainOutput: boolean;
  #slowAt = 0;

  constructor(spec: GunSpec, random: Random) {
    this.#spec = spec;
    this.#random = random;
    this.sink = new FrameSink(spec.id, spec.channels);
    this.#place = Object.fromEntries(CHANNEL_NAMES.map((name) => [name, spec.channels.indexOf(name)])) as Record<
      Channel,
      number
    >;
    for (const channel of spec.channels)
      if (channel in SENSOR_KINDS) {
        const name = channel as NumericChannel;
        this.#sensors.set(name, new Sensor(SENSOR_KINDS[name], random));
      }
    this.#plainOutput = spec.output === 'setpoint' || spec.output === 'coupled';
  }

  /** The sensor of a channel, when fitted. */
  sensor(channel: NumericChannel): Sensor | undefined {
    return this.#sensors.get(channel);
  }

  get interval(): number {
    return this.#spec.intervalMs * (0.985 + 0.03 * this.#random.uniform());
  }

  #put(channel: NumericChannel, truth: number): void {
    const sensor = this.#sensors.get(channel);
    if (sensor) this.sink.set(this.#place[channel], sensor.read(truth));
  }

  /** Reports one instant. */
  report(timeMs: number, now: Instant, trigger: boolean, powder: number): void {
    const stamp = this.#spec.stampMs;
    this.sink.open(Math.round(timeMs / stamp) * stamp);
    this.#put('conveying/pressure', now.conveyingBar);
    this.#put('conveying/flow', now.conveyingNm3h);
    this.#put('conveying/ripple', now.rippleBar);
    this.#put('supplementary/pressure', now.supplementaryBar);
    this.#put('supplementary/flow', now.supplementaryNm3h);
    const output = this.#place['powder/output'];
    if (output >= 0 && !Number.isNaN(now.shownGmin)) {
      if (this.#plainOutput) this.sink.set(output, Math.round(now.shownGmin));
      else this.#put('powder/output', now.shownGmin);
    }
    if (this.#place['powder/id'] >= 0) this.sink.set(this.#place['powder/id'], powder);
    if (this.#place.trigger >= 0) this.sink.set(this.#place.trigger, trigger ? 1 : 0);
    if (timeMs < this.#slowAt) return;
    this.#slowAt = timeMs + this.#spec.slowMs;
    this.#put('fluidizing/pressure', now.fluidizingBar);
    this.#put('fluidizing/flow', now.fluidizingNm3h);
    this.#put('supply/pressure', now.inletBar);
    this.#put('powder/mass', now.massKg);
  }
}
