import { expect, test } from 'vitest';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();

test('a job is acknowledged and shelved with an end and a reason, and leaves the list', async () => {
  const { page } = await show({ path: '/jobs' });
  const insert = page.getByRole('article', { name: /Change the pump insert/ });
  await insert.getByRole('button', { name: 'Acknowledge' }).click();
  await insert.getByText(/seen by local/).waitFor();
  await insert.getByRole('button', { name: 'Shelve…' }).click();
  expect(await insert.getByRole('button', { name: 'Shelve it' }).isDisabled()).toBe(true);
  await insert.getByLabel('Reason').fill('waits for the oven’s service');
  await insert.getByRole('button', { name: 'Shelve it' }).click();
  await expect.poll(() => page.getByRole('article').count(), SOON).toBe(2);
  await page.getByText(/shelved until .*waits for the oven/).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
});

test.each(['/guns', '/guns/gun-01', '/plan'])(
  '%s is readable on a phone and without faults of access',
  async (path) => {
    const { page } = await show({ path, size: PHONE });
    await page.getByRole('heading', { level: 1 }).waitFor();
    // Long parts of a page are folded on a phone.
    if (path === '/plan') await page.getByText('Intervals').click();
    await page.getByRole('table').first().waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
    expect(await accessibilityFaults(page)).toEqual([]);
  },
);

test('the navigation is reached by keyboard and marks the page', async () => {
  const { page } = await show({ path: '/plan' });
  await page.getByRole('heading', { level: 1, name: 'Plan' }).waitFor();
  await page.keyboard.press('Tab');
  expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Skip to content');
  expect(await page.getByRole('link', { name: 'Plan', exact: true }).getAttribute('aria-current')).toBe('page');
});

test('on a phone a row is a stack under its name, each cell beside the name of its column', async () => {
  const { page } = await show({ path: '/plan', size: PHONE });
  await page.getByText('Intervals').click();
  const row = page.locator('table', { hasText: 'Usual' }).locator('tbody tr').first();
  await row.waitFor();
  const cells = row.locator('td');
  expect(await cells.evaluateAll((all) => all.map((cell) => getComputedStyle(cell, '::before').content))).toEqual([
    '"Work"',
    '"Usual"',
    '"Set here"',
  ]);
  const tops = await row.locator('th, td').evaluateAll((all) => all.map((cell) => cell.getBoundingClientRect().top));
  expect(tops).toEqual([...tops].sort((left, right) => left - right));
  expect(new Set(tops).size).toBe(4);
});
