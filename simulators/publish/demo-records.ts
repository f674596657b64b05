import { onShift } from './demo-work.ts';
import type { ServiceDoor } from './service-door.ts';

type Move = readonly [
  daysAgo: number,
  part: string,
  kind: 'counted' | 'delivered' | 'taken' | 'ordered',
  quantity: number,
  note?: string,
];

/** The shelf over four months: counts, orders and deliveries. Order numbers and suppliers are for each shop to state. */
const MOVES: readonly Move[] = [
  [120, 'pump-insert', 'counted', 12, 'first count'],
  [120, 'pump-seals', 'counted', 6, 'first count'],
  [120, 'gun-seals', 'counted', 3, 'first count'],
  [120, 'conveying-filter', 'counted', 12, 'first count'],
  [120, 'supplementary-filter', 'counted', 6, 'first count'],
  [120, 'inlet-filter', 'counted', 9, 'first count'],
  [120, 'fluidizing-ring', 'counted', 10, 'first count'],
  [120, 'nozzle', 'counted', 4, 'first count'],
  [120, 'electrode-holder', 'counted', 2, 'first count'],
  [120, 'powder-hose', 'counted', 2, 'first count'],
  [95, 'pump-insert', 'ordered', 10],
  [84, 'pump-insert', 'delivered', 10],
  [60, 'pump-seals', 'delivered', 4],
  [57, 'pump-insert', 'ordered', 12, 'for the sensors: all guns begin with a new one'],
  [50, 'pump-insert', 'delivered', 12],
  [43, 'conveying-filter', 'taken', 2, 'lent to the other hall'],
  [42, 'pump-insert', 'counted', 17],
  [36, 'conveying-filter', 'counted', 0, 'two more are missing'],
  [21, 'gun-seals', 'delivered', 2],
  [7, 'pump-insert', 'counted', 8, 'one more was in a drawer'],
  [1, 'conveying-filter', 'ordered', 4],
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

/**
 * Tells a service that knows nothing yet what the hall keeps beside readings and log: shelf, costs, losses.
 *
 * @param now the clock, epoch ms
 * @throws {AppError} INTERNAL when the service refuses something
 */
export async function tellDemoRecords(door: ServiceDoor, now: number): Promise<void> {
  for (const [index, [daysAgo, part, kind, quantity, note = '']] of MOVES.entries()) {
    const time = new Date(onShift(now, daysAgo, index)).toISOString();
    const key = `demo:${time}:${part}:${kind}`;
    await door.tell('POST', '/api/stock/moves', { body: { part, kind, quantity, time, note }, key });
  }
  await door.tell('PUT', '/api/cost/figures', { body: { version: 0, figures: COSTS } });
  const month = new Date(now).toISOString().slice(0, 7).split('-').map(Number);
  for (const [monthsAgo, gun, powderKilograms, rejects] of LOSSES) {
    const of = new Date(Date.UTC(month[0]!, month[1]! - 1 - monthsAgo, 1)).toISOString().slice(0, 7);
    const body = { version: 0, losses: { powderKilograms, rejects } };
    await door.tell('PUT', `/api/cost/losses/${of}/gun-0${gun}`, { body });
  }
}
