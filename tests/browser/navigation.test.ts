import { expect, test } from 'vitest';
import { accessibilityFaults, PHONE, screensOfHall } from './screens.ts';

const show = screensOfHall();
/** What the service of this hall does not have, its pages ask for in vain. */
const NO_SHOP = /404/;

test('the navigation takes two lines at 1440 px and marks group and page', async () => {
  const { page } = await show({ path: '/stock', size: { width: 1440, height: 900 }, expected: NO_SHOP });
  await page.getByRole('heading', { level: 1, name: 'Stock' }).waitFor();
  const navigation = page.getByRole('navigation', { name: 'Pages' });
  const tops = await navigation
    .locator('a:visible, button:visible')
    .evaluateAll((all) => [...new Set(all.map((one) => Math.round(one.getBoundingClientRect().top)))]);
  expect(tops).toHaveLength(2);
  expect(await navigation.getByRole('button', { name: 'Shop' }).getAttribute('aria-current')).toBe('true');
  expect(await navigation.getByRole('link', { name: 'Stock' }).getAttribute('aria-current')).toBe('page');
  expect(await navigation.getByRole('link').allTextContents()).toEqual([
    'Wall',
    'Stock',
    'Lives',
    'Cost of wear',
    'Reports',
  ]);
});

test('another group opens by keyboard, leads to its pages, and closes with Escape', async () => {
  const { page } = await show({ path: '/stock', expected: NO_SHOP });
  await page.getByRole('heading', { level: 1, name: 'Stock' }).waitFor();
  const group = page.getByRole('button', { name: 'Engineer' });
  await group.focus();
  await page.keyboard.press('Enter');
  expect(await group.getAttribute('aria-expanded')).toBe('true');
  expect(await page.getByRole('link', { name: 'Stock' }).count()).toBe(0);
  await page.keyboard.press('Escape');
  expect(await group.getAttribute('aria-expanded')).toBe('false');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await page.waitForURL('**/baseline');
});

test('on a phone one button opens the groups, with that of the page open', async () => {
  const { page } = await show({ path: '/status', size: PHONE, expected: NO_SHOP });
  await page.getByRole('heading', { level: 1, name: 'Status' }).waitFor();
  expect(await page.getByRole('button', { name: 'Shop' }).isVisible()).toBe(false);
  await page.getByRole('button', { name: /all pages/ }).click();
  expect(await page.getByRole('link', { name: 'Audit trail' }).isVisible()).toBe(true);
  const heights = await page
    .getByRole('navigation')
    .locator('a:visible, button:visible')
    .evaluateAll((all) => all.map((one) => one.getBoundingClientRect().height));
  expect(Math.min(...heights)).toBeGreaterThanOrEqual(52);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Shop' }).click();
  await page.getByRole('link', { name: 'Stock' }).click();
  await page.waitForURL('**/stock');
});
