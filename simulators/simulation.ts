import type { ShopDay } from './calendar/shop-day.ts';
import type { GunSimulation } from './gun/gun-simulation.ts';
import { Random } from './random.ts';
import type { Hall } from './scenarios/hall.ts';
import { type NodeSpan, type Sent, send } from './sensors/transport.ts';

/** One day of a hall: what the node of each station sent. */
export interface HallDay {
  readonly day: ShopDay;
  readonly sent: readonly Sent[];
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

/** Runs one local day. Days must come in order: guns remember. */
export function runDay(hall: Hall, day: ShopDay): HallDay {
  const plans = hall.booths.map((plan) => plan.day(day));
  const guns = hall.guns.map((gun) => {
    const random = new Random(hall.chance, 'transport', gun.spec.id, day.date);
    return send(gun.day(day, plans[gun.spec.booth]!), nodeSpans(gun), hall.scenario.transport, random);
  });
  const points = hall.points.map((point) => {
    const random = new Random(hall.chance, 'transport', point.id, day.date);
    return send(point.day(day), [], { lost: hall.scenario.transport.lost, twice: 0, late: 0 }, random);
  });
  return { day, sent: [...guns, ...points] };
}

/** Runs a hall day by day for its whole span. */
export function* runHall(hall: Hall): Generator<HallDay> {
  for (const day of hall.work.days) yield runDay(hall, day);
}
