import type { Frames } from '../collector/contract/frames.ts';
import { addDays, type ShopDay, shopDay } from './calendar/shop-day.ts';
import type { Hall } from './scenarios/build-hall.ts';

/** One day of a hall: what the node of each station read, by true time. */
export interface HallDay {
  readonly day: ShopDay;
  readonly stations: readonly Frames[];
}

/** Runs a hall day by day for its whole span. */
export function* runHall(hall: Hall): Generator<HallDay> {
  const { setting } = hall;
  for (let index = 0; index < setting.days; index++) yield runDay(hall, addDays(setting.firstDate, index));
}

/** Runs one local day. Days must come in order: guns remember. */
export function runDay(hall: Hall, date: string): HallDay {
  const { setting } = hall;
  const day = shopDay(setting.pattern, setting.timezone, date, setting.daysOff);
  const booths = hall.booths.map((plan) => plan.day(day));
  return { day, stations: hall.guns.map((gun) => gun.day(day, booths[gun.spec.booth]!)) };
}
