import type { Frames } from '../collector/contract/frames.ts';
import type { ShopDay } from './calendar/shop-day.ts';
import type { GunSimulation } from './gun/gun-simulation.ts';
import { Random } from './random.ts';
import type { Hall } from './scenarios/hall.ts';
import { type NodeSpan, type Sent, send } from './sensors/transport.ts';

/** Nodes and air points send nothing longer than this before the first shift, ms. Source: own choice, an hour, as compressors are started early. */
const BEFORE_MS = 3_600_000;

/** A gun in the middle of its day. */
interface Running {
  readonly gun: GunSimulation;
  readonly steps: Generator<number>;
  readonly random: Random;
  readonly spans: readonly NodeSpan[];
  reached: number;
}

/** Silences and clock errors of a gun's node. */
function nodeSpans(gun: GunSimulation): NodeSpan[] {
  const faults = gun.state.faults.filter(({ plan }) => plan.shape === 'span');
  const traps = gun.state.traps.filter(({ kind }) => kind === 'clock-offset');
  return [
    ...faults.map(({ plan }) => ({
      start: plan.onset,
      end: plan.onset + plan.mendAfter * 3_600_000,
      offsetMs: plan.cause === 'sensor:clock' ? Math.round(plan.size) * 1000 : 0,
      silent: plan.cause === 'no-data',
    })),
    ...traps.map(({ start, end, size }) => ({ start, end, offsetMs: Math.round(size) * 1000, silent: false })),
  ];
}

/** One local day of a hall, run in pieces: no further than asked, so that people may change things in between. */
export class DayRun {
  readonly day: ShopDay;
  readonly #hall: Hall;
  #running: Running[] | null = null;

  constructor(hall: Hall, day: ShopDay) {
    this.#hall = hall;
    this.day = day;
  }

  /** First moment at which something may be sent; Infinity on days off. */
  get start(): number {
    const first = this.day.shifts[0];
    return first ? first.start - (this.day.goesOn ? 0 : BEFORE_MS) : Number.POSITIVE_INFINITY;
  }

  /** Nothing is left to run. */
  get done(): boolean {
    if (this.day.shifts.length === 0) return true;
    return this.#running?.every(({ reached }) => reached === Number.POSITIVE_INFINITY) ?? false;
  }

  /** Runs every gun until its next pull would begin after a time, and gives what was sent since the last call. */
  advance(untilMs: number): Sent[] {
    if (untilMs < this.start) return [];
    const { chance, scenario, points } = this.#hall;
    const sent: Sent[] = [];
    if (this.#running === null) {
      this.#running = this.#begin();
      for (const point of points) {
        const random = new Random(chance, 'transport', point.id, this.day.date);
        sent.push(send(point.day(this.day), [], { lost: scenario.transport.lost, twice: 0, late: 0 }, random));
      }
    }
    const guns = this.#running.map((running) => {
      while (running.reached < untilMs) {
        const step = running.steps.next();
        running.reached = step.done ? Number.POSITIVE_INFINITY : step.value;
      }
      const frames: Frames = running.gun.take();
      return send(frames, running.spans, scenario.transport, running.random);
    });
    return [...guns, ...sent];
  }

  #begin(): Running[] {
    const { hall, day } = { hall: this.#hall, day: this.day };
    const plans = hall.booths.map((plan) => plan.day(day));
    return hall.guns.map((gun) => ({
      gun,
      steps: gun.steps(day, plans[gun.spec.booth]!),
      random: new Random(hall.chance, 'transport', gun.spec.id, day.date),
      spans: nodeSpans(gun),
      reached: Number.NEGATIVE_INFINITY,
    }));
  }
}
