import { expect, onTestFinished, test } from 'vitest';
import { USUAL_CALENDAR } from '../../analyzer/index.ts';
import { openStore } from '../../collector/index.ts';
import { shopBasis } from '../../dashboard/shop/basis.ts';
import { openShop } from '../../dashboard/shop/open-shop.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { hall } from '../dashboard/hall.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { DAY, daysOfRuns } from '../dashboard/shop/open-shop-hall.ts';
import { accessibilityFaults, type Shown, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();

/** A page of the invented hall with shelf, lives and costs behind it. */
async function shop(path: string): Promise<Shown> {
  const store = openStore(tempDir(), { create: true });
  onTestFinished(() => store.close());
  store.runs.replace('gun-01', 0, daysOfRuns('gun-01', 100));
  for (const [daysAgo, found] of [
    [95, 'worn'],
    [70, 'worn'],
    [48, 'failed'],
    [20, 'good'],
    [3, 'worn'],
  ] as const)
    store.log.add(
      { time: NOON - daysAgo * DAY, gun: 'gun-01', part: 'pump-insert', action: 'replaced', found, note: '' },
      { recordedAt: NOON, source: 'api', who: 'Ann' },
    );
  const made = hall();
  const opened = openShop(
    { ...shopBasis(store, made.sources.plant, () => NOON), views: made.sources.views },
    { jobs: made.sources.jobs, calendar: () => USUAL_CALENDAR },
  );
  return show({ path, server: { sources: { ...made.sources, shop: opened } }, expected: /status of 422/ });
}

test('a count is written down, shows on the shelf, and can be taken back', async () => {
  const { page } = await shop('/stock');
  await page.getByText('Count the shelf first').waitFor();
  await page.getByLabel('Part').selectOption('pump-insert');
  await page.getByLabel('How many').fill('1.5');
  await page.getByRole('button', { name: 'Write down' }).click();
  await page.getByText('found "1.5", expected a whole number').waitFor();
  await page.getByLabel('How many').fill('4');
  await page.getByRole('button', { name: 'Write down' }).click();
  await page.getByText('Pump insert: counted 4.').waitFor();
  await page
    .getByRole('row', { name: /Pump insert.* 4 / })
    .first()
    .waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Undo Pump insert: counted 4' }).click();
  await page.getByText('taken back by local').waitFor();
});

test('lives are shown as figures, a plot and a table that says the same', async () => {
  const { page } = await shop('/life');
  await page.getByRole('img', { name: /Pump insert: share ended against age/ }).waitFor();
  await page.getByText('Thin data.').waitFor();
  await page.getByText('The same as a table').click();
  await expect.poll(() => page.getByRole('row').count(), SOON).toBeGreaterThan(10);
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('cost of wear says first that the air is the small part, and takes the shop’s own figures', async () => {
  const { page } = await shop('/cost');
  await page.getByText('The air itself is the small part').waitFor();
  await page.getByLabel('Price of a kWh').fill('dear');
  await page.getByRole('button', { name: 'State these figures' }).click();
  await page.getByRole('alert').filter({ hasText: '"dear"' }).waitFor();
  await page.getByLabel('Price of a kWh').fill('0.25');
  await page.getByRole('button', { name: 'State these figures' }).click();
  await page.getByText('Version 1, stated by local.').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('reports lead from the shift to the week and the journal, where work is taken back and stays', async () => {
  const { page } = await shop('/reports');
  await page.getByRole('heading', { name: 'Still to do (3)' }).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('link', { name: 'Journal' }).click();
  await page
    .getByRole('button', { name: /^Undo Booth 1 left: Pump insert replaced, found worn/ })
    .first()
    .click();
  await page.getByLabel('Why').fill('wrong gun');
  await page.getByRole('button', { name: /^Take entry \d+ back/ }).click();
  await page.getByText(/taken back by local at .*: wrong gun/).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
});
