import { expect, test } from 'vitest';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, SOON, screensOfHall, WALL } from './screens.ts';
import { sprayedRuns } from './sprayed-runs.ts';

const show = screensOfHall();
const DAY_MS = 86_400_000;

test('a scale that few odd values would flatten is cut, says what lies beyond, and is whole on demand', async () => {
  const made = deskSources();
  // Of two days of runs one is read ten times as high.
  sprayedRuns(made.store, (row) => (row === 200 ? 34.2 : 3.3));
  await made.sources.histories!.parquet('gun-01', 0, 1);
  const [from, to] = [NOON - 2 * DAY_MS, NOON].map((ms) => new Date(ms).toISOString());
  const { page } = await show({
    ...{ path: `/history?gun=gun-01&from=${from}&to=${to}`, size: WALL },
    server: { sources: made.sources },
  });
  const air = page.locator('figure', { hasText: 'Conveying air' }).first();
  await page.getByText('Beyond this scale: up to 34.20 m³/h.').waitFor();
  /** Every dot of the chart, as text. */
  const drawn = (): Promise<string> => air.locator('canvas').evaluate((one) => (one as HTMLCanvasElement).toDataURL());
  const cut = await drawn();
  const whole = page.getByRole('button', { name: 'Whole scale' });
  expect(await whole.count()).toBe(1);
  await whole.focus();
  await page.keyboard.press('Enter');
  await expect.poll(() => whole.getAttribute('aria-pressed'), SOON).toBe('true');
  expect(await page.getByText('Beyond this scale').count()).toBe(0);
  await expect.poll(drawn, SOON).not.toBe(cut);
  expect(await accessibilityFaults(page)).toEqual([]);
  expect(await whole.evaluate((one) => one === document.activeElement)).toBe(true);
  await page.keyboard.press('Enter');
  await page.getByText('Beyond this scale: up to 34.20 m³/h.').waitFor();
  await expect.poll(drawn, SOON).toBe(cut);
}, 60_000);

test('a scale that nothing stands out of offers no other', async () => {
  const made = deskSources();
  sprayedRuns(made.store, (row) => (row === 200 ? 9.9 : 3.3));
  await made.sources.histories!.parquet('gun-01', 0, 1);
  const [from, to] = [NOON - 2 * DAY_MS, NOON].map((ms) => new Date(ms).toISOString());
  const { page } = await show({
    ...{ path: `/history?gun=gun-01&from=${from}&to=${to}`, size: WALL },
    server: { sources: made.sources },
  });
  await page.getByText('Save as PNG').waitFor();
  expect(await page.getByRole('button', { name: 'Whole scale' }).count()).toBe(0);
}, 60_000);
