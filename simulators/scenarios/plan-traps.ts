import type { WorkDays } from '../calendar/work-days.ts';
import type { GunSpec } from '../gun/gun-spec.ts';
import type { GunTrap, GunTrapKind } from '../gun/gun-trap.ts';
import { Random } from '../random.ts';
import type { Scenario } from './scenario.ts';

const DAY_MS = 86_400_000;

function isGunTrap(kind: Scenario['traps'][number]): kind is GunTrapKind {
  return kind !== 'low-supply-setting' && kind !== 'shut-down' && kind !== 'daylight-saving';
}

/** Draws the normal things that happen to single guns: each kind to a half of the guns, somewhere in the middle of the story. */
export function planTraps(scenario: Scenario, seed: number, specs: readonly GunSpec[], work: WorkDays): GunTrap[] {
  const traps: GunTrap[] = [];
  for (const kind of scenario.traps.filter(isGunTrap))
    for (let gun = 0; gun < specs.length; gun++) {
      const random = new Random(seed, 'trap', kind, gun);
      if (!random.chance(0.5)) continue;
      const start = work.moment(random.uniform(0.2, 0.9));
      const sign = random.chance(0.5) ? 1 : -1;
      const end = start + random.uniform(3, 12) * DAY_MS;
      switch (kind) {
        case 'hose-change':
          traps.push({ kind, gun, start, end: start, size: sign * random.uniform(0.05, 0.2) });
          break;
        case 'nozzle-exchange':
          traps.push({ kind, gun, start, end: start, size: sign * random.uniform(0.03, 0.08) });
          break;
        case 'sensor-exchange':
          traps.push({ kind, gun, start, end: start, size: 0 });
          break;
        case 'clock-offset':
          traps.push({ kind, gun, start, end, size: sign * random.uniform(120, 1500) });
          break;
        case 'more-powder':
          traps.push({ kind, gun, start, end, size: random.uniform(0.12, 0.25) });
          break;
        case 'regulator-stop':
          traps.push({ kind, gun, start, end, size: random.uniform(0.02, 0.08) });
          break;
      }
    }
  return traps;
}
