import type { ShopDay } from '../calendar/shop-day.ts';
import { DayRun } from '../day-run.ts';
import type { Hall } from '../scenarios/hall.ts';
import type { Sent } from '../sensors/transport.ts';

/** Reports of one station that are due: places within what it sent that day. */
export interface Due {
  readonly station: string;
  readonly sent: Sent;
  readonly places: readonly number[];
}

interface Waiting {
  readonly sent: Sent;
  next: number;
  /** Reports held back by a network loss. */
  readonly late: number[];
}

/** Hands out what a hall sends, in order of true time, day after day without end. */
export class Feed {
  readonly #hall: Hall;
  readonly #days: Iterator<ShopDay>;
  #waiting: Waiting[] = [];
  #current: DayRun | null = null;
  #exhausted = false;

  /** @param days the days to run, in order; may be endless */
  constructor(hall: Hall, days: Iterable<ShopDay>) {
    this.#hall = hall;
    this.#days = days[Symbol.iterator]();
  }

  /** True when all days are handed out. */
  get ended(): boolean {
    return this.#exhausted && this.#waiting.length === 0;
  }

  /** Everything that was to be sent before a time and has not been handed out. */
  take(beforeMs: number): Due[] {
    while (!this.#exhausted) {
      if (this.#current === null || this.#current.done) this.#nextDay();
      if (this.#current === null) break;
      for (const sent of this.#current.advance(beforeMs))
        if (sent.rows.length > 0) this.#waiting.push({ sent, next: 0, late: [] });
      if (!this.#current.done) break;
    }
    const due: Due[] = [];
    for (const waiting of this.#waiting) {
      const places = takeBefore(waiting, beforeMs);
      if (places.length > 0) due.push({ station: waiting.sent.frames.station, sent: waiting.sent, places });
    }
    this.#waiting = this.#waiting.filter(({ sent, next, late }) => next < sent.rows.length || late.length > 0);
    return due;
  }

  #nextDay(): void {
    const step = this.#days.next();
    this.#exhausted = step.done === true;
    this.#current = step.done ? null : new DayRun(this.#hall, step.value);
  }
}

/** Places that are due; late ones wait for the first report after the loss, or the end of the day. */
function takeBefore(waiting: Waiting, beforeMs: number): number[] {
  const { sent, late } = waiting;
  const places: number[] = [];
  while (waiting.next < sent.rows.length && sent.frames.times[sent.rows[waiting.next]!]! < beforeMs) {
    const place = waiting.next++;
    if (sent.late[place] === 1) late.push(place);
    else places.push(place, ...late.splice(0));
  }
  if (waiting.next === sent.rows.length) places.push(...late.splice(0));
  return places;
}
