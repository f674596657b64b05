import { expect, test } from 'vitest';
import { USUAL_CALENDAR } from '../../analyzer/index.ts';
import type { ServiceStatus } from '../../dashboard/server/index.ts';
import { shopBasis } from '../../dashboard/shop/basis.ts';
import { openShop } from '../../dashboard/shop/open-shop.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, PHONE, screensOfHall } from './screens.ts';

const show = screensOfHall();

const damaged: ServiceStatus['damaged'] = [
  {
    ...{ kind: 'spray runs', id: 'gun-01', station: 'Booth 1 left', why: 'sums differ' },
    ...{ from: Date.UTC(2026, 2, 1, 8), to: Date.UTC(2026, 2, 1, 14) },
  },
  {
    ...{ kind: 'readings', id: 'gun-02', station: 'Booth 1 right', why: 'sums differ' },
    ...{ from: Date.UTC(2026, 2, 1, 8), to: Date.UTC(2026, 2, 1, 14) },
  },
];

function sources() {
  const { sources: made, store } = deskSources();
  const shop = openShop(
    { ...shopBasis(store, made.plant, () => NOON), views: made.views },
    { jobs: made.jobs, calendar: () => USUAL_CALENDAR },
  );
  const status: ServiceStatus = {
    ...{ startedAt: 0, stations: [], refused: [], historian: null, damaged },
    disk: { usedBytes: 0, freeBytes: 1, growthPerDay: null, daysLeft: null, warning: null },
    retention: { rawDays: 0, thinnedDays: 0, runsDays: 0 },
  };
  return { ...made, shop, status: { status: () => status } };
}

test.each([
  ['/guns/gun-01', 'Hours'],
  ['/life', 'Lives'],
  ['/cost', 'Costs'],
  ['/plan', 'What is due is reckoned'],
  ['/reports/week', 'Figures'],
])('%s says which spray runs its figures are without', async (path, what) => {
  const { page } = await show({ path, size: PHONE, server: { sources: sources() } });
  const said = page.getByText(`${what} without some spray runs:`).locator('..');
  await said.waitFor();
  expect(await said.textContent()).toMatch(
    /those of Booth 1 left from .*1 Mar.* to .* are damaged on the disk\. Status$/,
  );
  expect(await said.count()).toBe(1);
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('the page of a gun whose spray runs are whole says nothing', async () => {
  const { page } = await show({ path: '/guns/gun-02', server: { sources: sources() } });
  await page.getByRole('table', { name: /^Hours and powder/ }).waitFor();
  expect(await page.getByText('without some spray runs').count()).toBe(0);
});
