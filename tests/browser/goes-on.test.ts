import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, SOON, screensOfHall, WALL } from './screens.ts';
import { silentChange } from './silent-change.ts';
import { sprayedDay } from './sprayed-runs.ts';

const show = screensOfHall();

/** The text of what has the focus; empty where nothing has. */
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => (document.activeElement === document.body ? '' : (document.activeElement?.textContent ?? '')));

const pressed = async (page: Page, name: string | RegExp): Promise<void> => {
  await page.getByRole('button', { name }).first().focus();
  await page.keyboard.press('Enter');
};

test('a change that is confirmed among those of all guns is told with its gun, and who goes by keys goes on beside it', async () => {
  const { made, sources } = silentChange();
  const { page } = await show({ path: '/findings', size: WALL, server: { sources } });
  const name = made.sources.plant.guns.find(({ id }) => id === 'gun-01')?.name ?? 'gun-01';
  await page.getByText('excess air fell at once from').waitFor();
  await pressed(page, 'It was changed: log it');
  await page.getByText(`Logged: ${name}: Pump insert replaced`).waitFor();
  await expect.poll(() => focused(page), SOON).toBe('Changed without a word?');
  expect(await accessibilityFaults(page)).toEqual([]);
  const taken = { recordedAt: NOON, source: 'api', why: '', replacement: null } as const;
  made.store.log.correct(made.store.log.lastId(), taken);
  await page.reload();
  await page.getByLabel('Why not').fill('only cleaned');
  await pressed(page, 'There was no change');
  await page.getByText('dismissed by local, only cleaned').waitFor();
  await expect.poll(() => focused(page), SOON).toBe('Changed without a word?');
}, 60_000);

test('of many changes that nobody logged the newest stand there, and the others a fold away', async () => {
  const { sources } = silentChange(7);
  const { page } = await show({ path: '/findings', size: WALL, server: { sources } });
  const offered = page
    .getByRole('region', { name: 'Changed without a word?' })
    .getByText('excess air fell at once from');
  await expect.poll(() => offered.count(), SOON).toBe(4);
  await page.getByText('3 from before that').click();
  await expect.poll(() => offered.count(), SOON).toBe(7);
  expect(await accessibilityFaults(page)).toEqual([]);
}, 60_000);

test('runs are left out and taken in again without losing one’s place', async () => {
  const { made, path } = await sprayedDay();
  const { page } = await show({
    ...{ path, size: WALL },
    server: { sources: made.sources },
  });
  await page.getByLabel('Reason').fill('sprayed against a plate');
  await pressed(page, /^Leave out/);
  await page.getByText(/: sprayed against a plate/).waitFor();
  await expect.poll(() => focused(page), SOON).toBe('Runs left out');
  expect(made.store.truths.exclusions().map(({ reason }) => reason)).toEqual(['sprayed against a plate']);
  await pressed(page, 'Take in again');
  await expect.poll(() => made.store.truths.exclusions(), SOON).toEqual([]);
  await expect.poll(() => focused(page), SOON).toBe('Runs left out');
}, 60_000);

test('going back to earlier settings after somebody else was first is refused in the hall’s time', async () => {
  const made = deskSources();
  const { page, post } = await show({
    ...{ path: '/settings', size: WALL, expected: /409|404/ },
    server: { sources: made.sources },
  });
  const { settings } = made.store.settings.list()[0]!;
  const adopt = async (leadTimeShifts: number, after: number): Promise<void> => {
    const body = { settings: { ...settings, leadTimeShifts }, why: 'more notice', after };
    expect((await post('/api/settings', body)).status).toBe(201);
  };
  await adopt(5, 1);
  await page.reload();
  await page.getByText('Version 2, holds now').waitFor();
  await adopt(7, 2);
  await pressed(page, 'Back to version 1');
  const refused = page.getByText('Somebody else changed it first: version 3 was adopted');
  await refused.waitFor();
  expect(await refused.textContent()).not.toMatch(/T\d\d:\d\d.*Z/);
  expect(made.store.settings.list()).toHaveLength(3);
}, 60_000);
