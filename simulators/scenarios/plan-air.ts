import type { WorkDays } from '../calendar/work-days.ts';
import type { SupplyEvent } from '../hall/air-supply.ts';
import type { BadLot } from '../hall/hall-air.ts';
import { Random } from '../random.ts';
import { wholeCount } from './plan-faults.ts';
import type { Scenario } from './scenario.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** An event on one of the hall's air lines. */
export type LineEvent = SupplyEvent & { readonly line: number };

/** Draws what happens to the air lines: sags and wet air that a finding should name, and settings lowered on purpose. */
export function planSupply(scenario: Scenario, seed: number, work: WorkDays): LineEvent[] {
  const random = new Random(seed, 'supply-events');
  const events: LineEvent[] = [];
  const times = wholeCount(random, scenario.supplyEvents);
  for (let nth = 0; nth < times; nth++) {
    const start = work.moment(0.12 + (0.85 * (nth + random.uniform(0, 0.5))) / times);
    const kind = random.pick(['sag', 'wet'] as const);
    events.push({
      kind,
      start,
      end: work.after(start, random.uniform(5, 24) * HOUR_MS),
      size: kind === 'sag' ? random.uniform(2, 3.4) : random.uniform(0.07, 0.14),
      line: random.integer(0, scenario.lines - 1),
    });
  }
  if (scenario.traps.includes('low-supply-setting'))
    for (let line = 0; line < scenario.lines; line++) {
      const start = work.moment(random.uniform(0.2, 0.7));
      events.push({
        kind: 'low-setting',
        start,
        end: start + random.uniform(5, 12) * DAY_MS,
        size: random.uniform(1.6, 2.2),
        line,
      });
    }
  return events;
}

/** Draws lots that are not as they should be. */
export function planLots(scenario: Scenario, seed: number, work: WorkDays, powders: number): BadLot[] {
  const random = new Random(seed, 'bad-lots');
  return Array.from({ length: wholeCount(random, scenario.badLots) }, () => {
    const start = work.moment(random.uniform(0.2, 0.8));
    return {
      powder: random.chance(0.7) ? 0 : random.integer(0, powders - 1),
      start,
      end: start + random.uniform(4, 10) * DAY_MS,
      factor: random.uniform(0.84, 0.9),
    };
  });
}
