import { expect, test } from 'vitest';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';
import { sprayedDay } from './sprayed-runs.ts';

const show = screensOfHall();

test('history: a span is typed in the hall’s clock, by keys, and stands in the address; what cannot be is said', async () => {
  const { made, path } = await sprayedDay();
  const { page } = await show({ path, size: PHONE, server: { sources: made.sources } });
  const form = page.getByRole('form', { name: 'Span by date and time' });
  const from = form.getByLabel('From', { exact: true });
  const to = form.getByLabel('to', { exact: true });
  const asked = (end: string): string | null => new URL(page.url()).searchParams.get(end);
  await page.locator('figure canvas').first().waitFor();
  const [begin, end] = [await from.inputValue(), asked('to')];

  // In the night in which Vienna puts its clocks back, which it is has to be said; the first where nobody does.
  await from.fill('2025-10-26T02:30');
  await from.press('Enter');
  await expect.poll(() => asked('from'), SOON).toBe('2025-10-26T00:30:00.000Z');
  // The end that nobody touched did not move.
  expect(asked('to')).toBe(end);
  expect(await from.evaluate((one) => one === document.activeElement)).toBe(true);
  const which = form.getByLabel('From: which of the two');
  await which.selectOption({ label: '02:30 CET, after clocks go back' });
  await form.getByRole('button', { name: 'Show' }).press('Enter');
  await expect.poll(() => asked('from'), SOON).toBe('2025-10-26T01:30:00.000Z');
  expect(await which.locator('option:checked').textContent()).toBe('02:30 CET, after clocks go back');
  expect(await accessibilityFaults(page)).toEqual([]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);

  await to.fill('2025-10-01T00:00');
  await to.press('Enter');
  const fault = form.getByRole('alert');
  await fault.getByText('The span ends before it begins').waitFor();
  expect(asked('to')).toBe(end);
  await to.fill('2026-03-29T02:30');
  await page.getByText('The clock leaves this time out: it is taken for 03:30.').waitFor();
  expect(await fault.count()).toBe(0);
  await to.fill('2025-10-01T00:00');
  await to.press('Enter');
  await fault.waitFor();
  await page.goBack();
  await expect.poll(() => fault.count(), SOON).toBe(0);
  await page.goBack();
  await expect.poll(() => from.inputValue(), SOON).toBe(begin);
}, 120_000);
