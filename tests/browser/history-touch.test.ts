import { expect, test } from 'vitest';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { PHONE, SOON, screensOfHall, WALL } from './screens.ts';
import { sprayedDay, sprayedRuns } from './sprayed-runs.ts';

const show = screensOfHall();
const DAY_MS = 86_400_000;

test('history: a pinch goes on while an answer comes, which is shown when the fingers are off', async () => {
  const made = deskSources();
  sprayedRuns(made.store);
  // Its thread starts with the first question; a page has no more patience than a person.
  await made.sources.histories!.parquet('gun-01', 0, 1);
  const [from, to] = [NOON - DAY_MS, NOON].map((ms) => new Date(ms).toISOString());
  const path = `/history?gun=gun-01&from=${from}&to=${to}`;
  const { page } = await show({ path, size: PHONE, server: { sources: made.sources } });
  const curves = page.locator('.u-over').first();
  await curves.scrollIntoViewIfNeeded();
  const box = (await curves.boundingBox())!;
  const cdp = await page.context().newCDPSession(page);
  const touch = async (type: 'touchStart' | 'touchMove' | 'touchEnd', ...shares: number[]): Promise<void> => {
    const touchPoints = shares.map((share, id) => ({ x: box.x + share * box.width, y: box.y + box.height / 2, id }));
    await cdp.send('Input.dispatchTouchEvent', { type, touchPoints });
  };
  const width = (): number => {
    const asked = new URL(page.url()).searchParams;
    return Date.parse(asked.get('to')!) - Date.parse(asked.get('from')!);
  };

  // The answer to the first look is held back until two fingers are on the picture.
  let letGo = (): void => undefined;
  const held = new Promise<void>((resolve) => {
    letGo = resolve;
  });
  await page.route('**/history?*', (route) => held.then(() => route.continue()));
  await page.keyboard.press('+');
  await expect.poll(width, SOON).toBe(DAY_MS / 2);
  const heading = page.getByRole('status').filter({ hasText: 'Spray runs' });
  const before = await heading.textContent();
  await touch('touchStart', 0.4, 0.6);
  await touch('touchMove', 0.35, 0.65);
  const answered = page.waitForResponse(/history\?/);
  letGo();
  await (await answered).finished();
  await touch('touchMove', 0.25, 0.75);
  expect((await heading.textContent())?.replace(' Loading…', '')).toBe(before?.replace(' Loading…', ''));
  await touch('touchMove', 0.2, 0.8);
  await touch('touchEnd');
  await page.clock.runFor(100);
  // From a fifth of the picture apart to three fifths: a third of the time.
  await expect.poll(width, SOON).toBeGreaterThan(0.9 * (DAY_MS / 6));
  expect(width()).toBeLessThan(1.1 * (DAY_MS / 6));
  await expect.poll(() => heading.textContent(), SOON).not.toBe(before);
}, 120_000);

test('history: charts are drawn for the width of paper while they are printed', async () => {
  const { made, path } = await sprayedDay();
  const { page } = await show({
    ...{ path, size: WALL },
    server: { sources: made.sources },
  });
  const canvas = page.locator('figure canvas').first();
  await canvas.waitFor();
  const width = (): Promise<number> => canvas.evaluate((one) => (one as HTMLCanvasElement).width);
  const wide = await width();
  await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
  await expect.poll(width, SOON).toBe(680);
  await page.evaluate(() => dispatchEvent(new Event('afterprint')));
  await expect.poll(width, SOON).toBe(wide);
}, 120_000);
