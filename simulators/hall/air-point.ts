import type { Frames } from '../../collector/contract/frames.ts';
import type { ShopDay } from '../calendar/shop-day.ts';
import { FrameSink } from '../gun/frame-sink.ts';
import { Random } from '../random.ts';
import { SENSOR_KINDS, Sensor } from '../sensors/sensor.ts';
import type { HallAir } from './hall-air.ts';

const CHANNELS = ['supply/pressure', 'supply/temperature', 'supply/dewpoint'] as const;

/** The measuring point behind the dryer of one air line: every minute, from before the first shift to after the last. */
export class AirPoint {
  readonly id: string;
  readonly line: number;
  readonly #air: HallAir;
  readonly #sensors: readonly Sensor[];
  readonly #sink: FrameSink;

  constructor(seed: number, id: string, line: number, air: HallAir) {
    this.id = id;
    this.line = line;
    this.#air = air;
    this.#sink = new FrameSink(id, CHANNELS);
    this.#sensors = CHANNELS.map((channel) => new Sensor(SENSOR_KINDS[channel], new Random(seed, id, channel)));
  }

  day(day: ShopDay): Frames {
    const first = day.shifts[0];
    const last = day.shifts[day.shifts.length - 1];
    const [before, after] = day.goesOn ? [0, 0] : [3_600_000, 1_800_000];
    if (first && last)
      for (let time = first.start - before; time < last.end + after; time += 60_000) {
        const { weather } = this.#air;
        const line = this.#air.lines[this.line]!;
        this.#sink.open(time);
        this.#sink.set(0, this.#sensors[0]!.read(line.lineBar(time)));
        this.#sink.set(1, this.#sensors[1]!.read(weather.hallCel(time) + 4));
        this.#sink.set(2, this.#sensors[2]!.read(line.dewpointCel(time, weather.outsideCel(time))));
      }
    return this.#sink.take([]);
  }
}
