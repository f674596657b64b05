import type { Hall } from '../scenarios/hall.ts';
import type { Trap } from '../truth.ts';

const DAY_MS = 86_400_000;
const iso = (timeMs: number): string => new Date(timeMs).toISOString();

/** How long an exchange, a new lot or a new powder may still be felt, ms. Source: own choice: until the gun has sprayed enough to learn it. */
const FELT_MS = 5 * DAY_MS;
const POWDER_FELT_MS = 2 * DAY_MS;

/**
 * Everything normal that looks like a fault, with the span in which a finding raised against a part counts as
 * caused by it.
 */
export function trapsOf(hall: Hall, endMs: number): Trap[] {
  const traps: Trap[] = [];
  const add = (kind: string, guns: readonly string[], start: number, end: number, note: string): void => {
    if (start < endMs) traps.push({ kind, guns: [...guns], start: iso(start), end: iso(Math.min(end, endMs)), note });
  };
  const all = hall.guns.map(({ spec }) => spec.id);
  for (const event of hall.supplyEvents)
    if (event.kind === 'low-setting')
      add(
        'low-supply-setting',
        hall.guns.filter(({ spec }) => spec.line === event.line).map(({ spec }) => spec.id),
        event.start,
        event.end,
        `line set ${event.size.toFixed(1)} bar lower`,
      );
  if (hall.scenario.traps.includes('shut-down')) {
    const gap = longestGap(hall);
    add('shut-down', all, gap.start, gap.end + FELT_MS, 'no work for two weeks');
  }
  for (const change of hall.work.clockChanges)
    add('daylight-saving', all, change, change + POWDER_FELT_MS, 'local time jumps');
  for (const [index, gun] of hall.guns.entries()) {
    const own = [gun.spec.id];
    for (const trap of hall.traps.filter((one) => one.gun === index)) {
      const made = gun.maintenance.exchangedAt(trap);
      if (trap.end > trap.start) add(trap.kind, own, trap.start, trap.end, `size ${trap.size.toFixed(3)}`);
      else if (made !== undefined) add(trap.kind, own, made, made + FELT_MS, `size ${trap.size.toFixed(3)}`);
    }
    for (const [place, time] of gun.powderChanges.entries())
      add('powder-change', own, time, Math.min(gun.powderChanges[place + 1] ?? endMs, time + POWDER_FELT_MS), '');
    for (const { kind, time } of gun.state.box.troubles) add(kind, own, time, time + 3_600_000, '');
    for (const time of gun.lotChanges) add('lot-change', own, time, time + FELT_MS, '');
  }
  return traps;
}

function longestGap(hall: Hall): { start: number; end: number } {
  const shifts = hall.work.days.flatMap(({ shifts: list }) => list);
  let best = { start: 0, end: 0 };
  for (let index = 1; index < shifts.length; index++) {
    const gap = { start: shifts[index - 1]!.end, end: shifts[index]!.start };
    if (gap.end - gap.start > best.end - best.start) best = gap;
  }
  return best;
}
