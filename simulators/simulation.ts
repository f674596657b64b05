import type { ShopDay } from './calendar/shop-day.ts';
import { DayRun } from './day-run.ts';
import type { Hall } from './scenarios/hall.ts';
import type { Sent } from './sensors/transport.ts';

/** One day of a hall: what the node of each station sent. */
export interface HallDay {
  readonly day: ShopDay;
  readonly sent: readonly Sent[];
}

/** Runs one local day. Days must come in order: guns remember. */
export function runDay(hall: Hall, day: ShopDay): HallDay {
  return { day, sent: day.shifts.length === 0 ? [] : new DayRun(hall, day).advance(Number.POSITIVE_INFINITY) };
}

/** Runs a hall day by day for its whole span. */
export function* runHall(hall: Hall): Generator<HallDay> {
  for (const day of hall.work.days) yield runDay(hall, day);
}
