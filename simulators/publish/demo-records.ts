import type { LogEntry } from '../../collector/contract/log-entry.ts';
import type { ServiceDoor } from './service-door.ts';

const DAY_MS = 86_400_000;

type Work = readonly [
  daysAgo: number,
  gun: number,
  part: string,
  action: LogEntry['action'],
  found: LogEntry['found'],
  note: string,
];

/** What the hall's fitters wrote down by hand before there were sensors, and one change since that cured nothing. */
const WORK: readonly Work[] = [
  [118, 1, 'pump-insert', 'replaced', 'worn', ''],
  [117, 2, 'pump-insert', 'replaced', 'worn', ''],
  [117, 4, 'conveying-filter', 'replaced', 'worn', 'oil in the element'],
  [115, 3, 'pump-insert', 'replaced', 'good', 'changed with the others'],
  [113, 5, 'powder-hose', 'inspected', 'good', ''],
  [110, 6, 'pump-insert', 'replaced', 'worn', ''],
  [108, 8, 'pump-insert', 'replaced', 'failed', 'pattern gone in the middle of an order'],
  [104, 7, 'nozzle', 'inspected', 'good', ''],
  [101, 1, 'inlet-filter', 'cleaned', 'good', ''],
  [99, 4, 'pump-insert', 'replaced', 'worn', ''],
  [96, 2, 'pump-seals', 'replaced', 'worn', 'hissing at the base'],
  [92, 5, 'pump-insert', 'replaced', 'worn', ''],
  [90, 7, 'pump-insert', 'replaced', 'worn', ''],
  [88, 3, 'electrode-holder', 'inspected', 'worn', ''],
  [87, 3, 'electrode-holder', 'replaced', 'worn', ''],
  [85, 6, 'gun-seals', 'replaced', 'worn', 'hose came out by hand'],
  [81, 8, 'conveying-filter', 'inspected', 'good', ''],
  [78, 1, 'nozzle', 'replaced', 'worn', ''],
  [74, 2, 'powder-hose', 'replaced', 'worn', 'flat at the bend'],
  [70, 5, 'gun-tube', 'cleaned', 'good', ''],
  [66, 4, 'fluidizing-ring', 'inspected', 'good', ''],
  [62, 7, 'pump-seals', 'replaced', 'failed', ''],
  [1.2, 2, 'gun-seals', 'replaced', 'good', 'it went on pulsing after that'],
];

type Move = readonly [daysAgo: number, part: string, kind: 'counted' | 'delivered' | 'ordered', quantity: number];

/** The shelf over four months: counts, orders and deliveries. Order numbers and suppliers are for each shop to state. */
const MOVES: readonly Move[] = [
  [119.5, 'pump-insert', 'counted', 12],
  [119.5, 'pump-seals', 'counted', 6],
  [119.5, 'gun-seals', 'counted', 3],
  [119.5, 'conveying-filter', 'counted', 2],
  [119.5, 'fluidizing-ring', 'counted', 1],
  [119.5, 'nozzle', 'counted', 4],
  [119.5, 'electrode-holder', 'counted', 2],
  [119.5, 'powder-hose', 'counted', 2],
  [95, 'pump-insert', 'ordered', 10],
  [82, 'pump-insert', 'delivered', 10],
  [60, 'pump-seals', 'delivered', 4],
  [40, 'pump-insert', 'counted', 12],
  [40, 'conveying-filter', 'counted', 0],
  [21, 'gun-seals', 'delivered', 2],
  [6.5, 'pump-insert', 'counted', 8],
];

/** Powder in kg and rejected pieces that the hall puts down to a gun, by how many months ago. */
const LOSSES: readonly (readonly [monthsAgo: number, gun: number, powder: number, rejects: number])[] = [
  [3, 8, 46, 21],
  [2, 2, 18, 5],
  [1, 1, 24, 6],
  [1, 3, 31, 9],
  [0, 2, 27, 12],
];

const COSTS = {
  currency: 'EUR',
  energyPrice: 0.21,
  powderPrice: 4.8,
  rejectCost: 14,
  parts: {
    'pump-insert': { piece: 7, planned: 19, unplanned: 145 },
    'pump-seals': { piece: 4, planned: 16, unplanned: 90 },
    'gun-seals': { piece: 3, planned: 14, unplanned: 80 },
    'conveying-filter': { piece: 11, planned: 26, unplanned: 70 },
    nozzle: { piece: 18, planned: 24, unplanned: 60 },
  },
};

/** Entries of the log that the simulation itself does not make. All of it is invented. */
export function demoWork(now: number): LogEntry[] {
  return WORK.map(([daysAgo, gun, part, action, found, note]) => ({
    ...{ time: now - daysAgo * DAY_MS, gun: `gun-0${gun}`, part, action, found, note },
  }));
}

/**
 * Tells a service that knows nothing yet what the hall keeps beside readings and log: shelf, costs, losses.
 *
 * @param now the clock, epoch ms
 * @throws {AppError} INTERNAL when the service refuses something
 */
export async function tellDemoRecords(door: ServiceDoor, now: number): Promise<void> {
  for (const [daysAgo, part, kind, quantity] of MOVES) {
    const time = new Date(now - daysAgo * DAY_MS).toISOString();
    const key = `demo:${time}:${part}:${kind}`;
    await door.tell('POST', '/api/stock/moves', { body: { part, kind, quantity, time }, key });
  }
  await door.tell('PUT', '/api/cost/figures', { body: { version: 0, figures: COSTS } });
  const month = new Date(now).toISOString().slice(0, 7).split('-').map(Number);
  for (const [monthsAgo, gun, powderKilograms, rejects] of LOSSES) {
    const of = new Date(Date.UTC(month[0]!, month[1]! - 1 - monthsAgo, 1)).toISOString().slice(0, 7);
    const body = { version: 0, losses: { powderKilograms, rejects } };
    await door.tell('PUT', `/api/cost/losses/${of}/gun-0${gun}`, { body });
  }
}
