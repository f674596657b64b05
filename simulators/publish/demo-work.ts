import type { LogEntry, Measured } from '../../collector/contract/log-entry.ts';

const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;

type Work = readonly [
  daysAgo: number,
  guns: readonly number[],
  part: string,
  action: LogEntry['action'],
  found: LogEntry['found'],
  note?: string,
  measured?: Measured,
];

/** All but gun 7: its sensors were fitted half an hour ago, so that no spray run could prove the work on it. */
const ALL = [1, 2, 3, 4, 5, 6, 8];
const standOff = (value: number): Measured => ({ value, unit: 'mm' });

/**
 * What the hall's fitters wrote down by hand: rounds by the plan, a year and more back so that the next round falls into the last four months, and
 * what came between. Since there are sensors, one change that cured nothing. The simulation adds what its people do.
 */
const WORK: readonly Work[] = [
  [800, [1, 2, 3, 4], 'gun-tube', 'cleaned', 'good', 'when they were fitted'],
  [476, [1, 2, 3, 4], 'inlet-filter', 'replaced', 'worn', 'yearly round'],
  [462, [5, 8], 'inlet-filter', 'replaced', 'worn', 'yearly round'],
  [459, [1, 2, 3, 4, 8], 'powder-hose', 'inspected', 'good', 'yearly round'],
  [371, [6], 'inlet-filter', 'replaced', 'worn', 'late for the yearly round: the gun was away'],
  [361, [5, 6], 'powder-hose', 'inspected', 'good', 'yearly round'],
  [294, [1, 2, 3, 5, 6, 8], 'conveying-filter', 'replaced', 'worn', 'half-yearly round'],
  [280, ALL, 'fluidizing-ring', 'replaced', 'worn', 'half-yearly round'],
  [266, [1, 2, 3, 4], 'supplementary-filter', 'replaced', 'good', 'half-yearly round'],
  [119, [1], 'pump-insert', 'replaced', 'worn'],
  [118, [2], 'pump-insert', 'replaced', 'worn'],
  [117, [4], 'conveying-filter', 'replaced', 'worn', 'oil in the element'],
  [116, [3], 'pump-insert', 'replaced', 'good', 'changed with the others'],
  [115, [1, 2, 3], 'conveying-filter', 'replaced', 'worn', 'half-yearly round'],
  [113, [5, 6, 8], 'conveying-filter', 'replaced', 'good', 'half-yearly round'],
  [112, [6], 'pump-insert', 'replaced', 'worn'],
  [110, [1, 2, 3, 4], 'inlet-filter', 'replaced', 'worn', 'yearly round'],
  [108, [8], 'pump-insert', 'replaced', 'failed', 'pattern gone in the middle of an order'],
  [105, [7], 'nozzle', 'inspected', 'good'],
  [102, ALL, 'fluidizing-ring', 'replaced', 'worn', 'half-yearly round'],
  [99, [4], 'pump-insert', 'replaced', 'worn'],
  [98, [5, 8], 'inlet-filter', 'replaced', 'worn', 'yearly round'],
  [96, [2], 'pump-seals', 'replaced', 'worn', 'hissing at the base'],
  [95, [1, 2, 3, 4, 8], 'powder-hose', 'inspected', 'good', 'yearly round'],
  [92, [5], 'pump-insert', 'replaced', 'worn'],
  [91, [7], 'pump-insert', 'replaced', 'worn'],
  [88, [3], 'electrode-holder', 'inspected', 'worn'],
  [87, [3], 'electrode-holder', 'replaced', 'worn'],
  [86, [1, 2, 3, 4], 'supplementary-filter', 'replaced', 'good', 'half-yearly round'],
  [85, [6], 'gun-seals', 'replaced', 'worn', 'hose came out by hand'],
  [81, [8], 'conveying-filter', 'inspected', 'good'],
  [78, [1], 'nozzle', 'replaced', 'worn'],
  [74, [2], 'powder-hose', 'replaced', 'worn', 'flat at the bend'],
  [71, [1, 2, 3, 4], 'gun-tube', 'cleaned', 'good'],
  [66, [4], 'fluidizing-ring', 'inspected', 'good'],
  [63, [7], 'pump-seals', 'replaced', 'failed'],
  [49, [6], 'pump-insert', 'inspected', 'good', '', standOff(21)],
  [37, [4], 'conveying-filter', 'inspected', 'good', 'blown through'],
  [29, [3], 'powder-hose', 'inspected', 'good'],
  [15, [4], 'pump-insert', 'inspected', 'good', '', standOff(13)],
  [2, [6], 'pump-insert', 'inspected', 'good', '', standOff(22)],
  // More than a shift after the pump's seals failed, and long enough ago that it is known not to have cured.
  [1.9, [2], 'gun-seals', 'replaced', 'good', 'it went on pulsing after that'],
];

/** Minutes by which people were early or late, so that not all is written down at the same minute. Source: own choice. */
const spread = (index: number): number => (((index * 53) % 150) - 75) * MINUTE_MS;

/**
 * A moment within the shift that many days ago; a day on which the hall did not work is moved to the working day before. The demo's
 * week ends today, and its shift began three hours ago.
 */
export function onShift(now: number, daysAgo: number, index: number): number {
  const idle = Math.floor(daysAgo) % 7;
  const days = idle > 4 ? daysAgo + 7 - idle : daysAgo;
  return now - days * DAY_MS + (days < 2 ? 0 : spread(index));
}

/** Entries of the log that the simulation itself does not make. All of it is invented. */
export function demoWork(now: number): LogEntry[] {
  return WORK.flatMap(([daysAgo, guns, part, action, found, note = '', measured], row) =>
    guns.map((gun, index) => ({
      ...{ time: onShift(now, daysAgo, row) + index * 11 * MINUTE_MS, gun: `gun-0${gun}`, part, action, found, note },
      ...(measured === undefined ? {} : { measured }),
    })),
  ).sort((left, right) => left.time - right.time);
}
