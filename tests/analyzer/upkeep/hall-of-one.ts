import type { KnownEntry } from '../../../analyzer/upkeep/fitted-parts.ts';
import { JobRecord } from '../../../analyzer/upkeep/loop-job.ts';
import type { LoopRecords } from '../../../analyzer/upkeep/loop-records.ts';
import { USUAL_CALENDAR } from '../../../analyzer/upkeep/shift-calendar.ts';
import { shopTime } from '../../../analyzer/upkeep/shop-time.ts';
import { type Usage, usageFrom } from '../../../analyzer/upkeep/usage.ts';
import { type Finding, Plant } from '../../../collector/contract/index.ts';

export const HOUR = 3_600_000;
export const DAY = 24 * HOUR;
/** A Monday, noon in Vienna. */
export const NOW = Date.parse('2026-03-09T11:00:00Z');

export const PLANT = Plant.parse({
  site: { id: 'hall-2', timezone: 'Europe/Vienna' },
  guns: [
    { id: 'gun-01', name: 'Booth 1 left' },
    { id: 'gun-02', parts: ['pump-insert', 'nozzle'] },
  ],
});

/** A gun that sprays 3 of the 8 h of each working day before `NOW`, one run of 30 minutes after the other, 150 g/min. */
export function sprayedDays(days: number, gun = 'gun-01', until = NOW): Usage {
  const starts: number[] = [];
  for (let day = days; day >= 0; day--) {
    const morning = Math.floor(until / DAY) * DAY - day * DAY + 6 * HOUR;
    const weekday = new Date(morning).getUTCDay();
    if (weekday === 0 || weekday === 6) continue;
    for (let run = 0; run < 6; run++) if (morning + run * HOUR < until) starts.push(morning + run * HOUR);
  }
  return usageFrom(
    gun,
    starts,
    starts.map(() => 1800),
    starts.map(() => 4.5),
  );
}

export const nothingSprayed = (gun: string): Usage => usageFrom(gun, [], [], []);

const SHOP = shopTime(USUAL_CALENDAR, 'Europe/Vienna', NOW);

let entries = 0;
export function entry(time: number, fields: Partial<KnownEntry> = {}): KnownEntry {
  return {
    id: ++entries,
    time,
    gun: 'gun-01',
    part: 'pump-insert',
    action: 'replaced',
    found: null,
    note: '',
    ...fields,
  };
}

export function finding(raised: number, fields: Partial<Finding> = {}): Finding {
  return {
    gun: 'gun-01',
    cause: 'pump-seals',
    category: 'maintenance-required',
    onset: new Date(raised - DAY).toISOString(),
    raised: new Date(raised).toISOString(),
    asOf: new Date(raised).toISOString(),
    cleared: null,
    candidates: [
      { cause: 'pump-seals', probability: 0.5 },
      { cause: 'gun-seals', probability: 0.4 },
    ],
    excessAir: 0.1,
    remaining: null,
    evidence: ['output for the same air fell by 9 % at once'],
    ...fields,
  };
}

export function records(changes: Partial<LoopRecords> = {}): LoopRecords {
  return {
    plant: PLANT,
    findings: [],
    views: [],
    log: [],
    usage: nothingSprayed,
    shop: SHOP,
    set: () => null,
    record: () => ({ version: 0, record: JobRecord.parse({}) }),
    outOfService: () => null,
    life: () => null,
    now: NOW,
    ...changes,
  };
}
