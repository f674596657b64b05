import { expect, test } from 'vitest';
import { PromiseDesk } from '../../dashboard/service/promise-desk.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();
const observed = { gunYears: 1, wrong: 0, right: 0, notJudged: 0, enough: false, perGunYear: null };

test('other values say where each value comes from, and a row for what is not there says that it changes nothing', async () => {
  const made = deskSources();
  const promise = new PromiseDesk({ observed: () => observed, simulate: null });
  const { page } = await show({
    path: '/settings',
    size: PHONE,
    server: { sources: { ...made.sources, promise } },
  });
  await page.getByRole('button', { name: 'Add other values' }).click();
  const row = page.getByRole('group', { name: 'Other values, row 1' });
  await row.getByRole('combobox', { name: 'Powder', exact: true }).fill('p-whit');
  await row.getByLabel('Excess air at which a part must go').fill('15');
  await row.getByText('This row changes nothing: p-whit is a powder which the plant file does not name').waitFor();
  await row.getByRole('combobox', { name: 'Powder', exact: true }).fill('');
  await row.getByRole('combobox').first().selectOption('gun-02');
  await expect.poll(() => row.getByText('changes nothing').count(), SOON).toBe(0);
  const held = page.getByRole('region', { name: 'What holds for whom' });
  const limit = held.getByRole('row', { name: /Excess air at which a part must go/ });
  expect(await limit.textContent()).toMatch(/20 %[\s\S]*the hall/);
  await held.getByRole('combobox').first().selectOption('gun-02');
  expect(await limit.textContent()).toMatch(/15 %[\s\S]*row 1, for /);
  expect(await accessibilityFaults(page)).toEqual([]);
  const sideways = (): Promise<number> => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  expect(await sideways()).toBeLessThanOrEqual(0);
}, 60_000);
