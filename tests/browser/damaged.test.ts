import { expect, test } from 'vitest';
import type { Status } from '../../dashboard/server/endpoints/status.ts';
import { hall } from '../dashboard/hall.ts';
import { accessibilityFaults, PHONE, screensOfHall } from './screens.ts';

const show = screensOfHall();

const { plant } = hall().sources;
const NAME = plant.guns.find(({ id }) => id === 'gun-01')!.name!;
const SPAN = { from: '2026-03-01T04:00:00.000Z', to: '2026-03-01T07:59:59.000Z' };
const DAMAGED: Status['damaged'] = [
  {
    ...{ kind: 'readings', id: 'gun-01', station: NAME, ...SPAN },
    why: 'chunk 18332: its checksum is not that of its bytes',
  },
  { ...{ kind: 'readings', id: null, station: null, ...SPAN }, why: 'batch 7: ends in the middle of a number' },
];

/** A service that is well but for what its disk has lost. */
const STATUS: Status = {
  ...{ now: SPAN.to, startedAt: SPAN.from, trouble: null, refused: [], damaged: DAMAGED, historian: null },
  disk: { usedBytes: 1e6, freeBytes: 1e9, growthBytesPerDay: null, daysLeft: null, warning: null },
  retention: { rawDays: 400, thinnedDays: 3650, runsDays: 0 },
  stations: plant.guns.map(({ id, name }) => ({
    ...{ id, name: name ?? id, newest: SPAN.to, ageSeconds: 2, lost: false, online: true, clockOffsetSeconds: null },
  })),
};

test('what the disk has lost is listed by the stations’ names, on a phone and on paper', async () => {
  const { page } = await show({ path: '/account', size: PHONE });
  await page.route('**/api/status', (route) => route.fulfill({ json: STATUS }));
  await page.goto(new URL('/status', page.url()).href);
  const table = page.getByRole('table', { name: 'Damaged on the disk' });
  await table.getByRole('rowheader', { name: NAME, exact: true }).waitFor();
  await table.getByRole('rowheader', { name: 'not known any more' }).waitFor();
  // A span of readings whose station is not known is of nobody's time.
  expect(await table.getByRole('row').last().getByRole('cell').allTextContents()).toEqual([
    'readings',
    '–',
    '–',
    'batch 7: ends in the middle of a number',
  ]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(PHONE.width);
  expect(await accessibilityFaults(page)).toEqual([]);

  // The width of A4 less its margins.
  await page.setViewportSize({ width: 680, height: 960 });
  await page.emulateMedia({ media: 'print' });
  expect(await table.isVisible()).toBe(true);
  expect((await table.boundingBox())!.width).toBeLessThanOrEqual(680);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(680);
}, 60_000);
