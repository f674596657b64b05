import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { StudyDesk } from '../../dashboard/server/index.ts';
import { PromiseDesk } from '../../dashboard/service/promise-desk.ts';
import { studyFolder } from '../../dashboard/service/study-folder.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { manualClock } from '../dashboard/manual-clock.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { madeUpStudies } from './made-up-studies.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';
import { studyingSources } from './studying-sources.ts';

const show = screensOfHall();

test('a comparison is readable on a phone, saved as a file, and opened again; another version is refused', async () => {
  const made = deskSources();
  const sources = studyingSources(made);
  const { page } = await show({ path: '/settings', size: PHONE, server: { sources } });
  await page.getByRole('button', { name: 'Compare with what holds' }).click();
  const follow = (text: string): Promise<void> =>
    expect.poll(() => page.clock.runFor(500).then(() => page.getByText(text).count()), SOON).toBeGreaterThan(0);
  await follow('Finding by finding');
  await page.getByText('Smallest change worth a visit: 5 → 3 % of air').waitFor();
  // The same day of two years is not the same day.
  await page.getByText(/^From \w+ 1 Jan 2026, \d\d:00 to \w+ 1 Mar 2026, \d\d:00:/).waitFor();
  const sideways = (): Promise<number> => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  expect(await sideways()).toBeLessThanOrEqual(0);
  // Both settings beside each other, below the name of the part.
  const cells = page.locator('.tallies tbody').nth(1).locator('tr > td:nth-of-type(1)');
  const [present, proposed] = await Promise.all([0, 1].map((row) => cells.nth(row).boundingBox()));
  expect(Math.abs(present!.y - proposed!.y)).toBeLessThan(4);
  expect(proposed!.x + proposed!.width).toBeLessThanOrEqual(PHONE.width);
  expect(await accessibilityFaults(page)).toEqual([]);

  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save this study' }).click();
  expect((await saved).suggestedFilename()).toBe('study-1.gz');
  const open = (name: string): Promise<void> =>
    page.getByLabel(/^Open a study/).setInputFiles({ name, mimeType: 'application/gzip', buffer: Buffer.from('x') });
  await open('study-1.gz');
  await follow('Reproduced: the answer is the same to the last byte');
  await page.getByRole('button', { name: 'Propose its settings' }).click();
  expect(await page.getByLabel('Smallest change worth a visit').first().inputValue()).toBe('3');
  await open('old.gz');
  await follow('old.gz, line 1: found a study made with driftline 0.0.9');
  expect(await accessibilityFaults(page)).toEqual([]);
}, 60_000);

test('a study that is sent shows how much of it is there, and whoever ends that leaves nothing behind', async () => {
  const made = deskSources();
  const observed = { gunYears: 1, wrong: 0, right: 0, notJudged: 0, enough: false, perGunYear: null };
  const folder = tempDir();
  const { plant, tuning } = made.sources;
  const sources = {
    ...made.sources,
    promise: new PromiseDesk({ observed: () => observed, simulate: null }),
    tuning: {
      ...tuning!,
      studies: new StudyDesk(madeUpStudies(plant), studyFolder(folder, 1000, 10, manualClock(NOON))),
    },
  };
  const { page } = await show({ path: '/settings', size: PHONE, server: { sources }, expected: /Failed to load/ });
  const choose = page.getByLabel(/^Open a study/);
  await choose.waitFor();
  await choose.focus();
  // The third piece stays on its way.
  let pieces = 0;
  await page.route('**/bytes?offset=*', (route) => (++pieces > 2 ? undefined : route.continue()));
  await choose.setInputFiles({ name: 'study-1.gz', mimeType: 'application/gzip', buffer: Buffer.alloc(50, 'x') });
  await page.getByText('Sending the file… 40 %').waitFor();
  expect(await page.getByRole('progressbar', { name: 'Sending the file' }).count()).toBe(1);
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByText('Sending the file').scrollIntoViewIfNeeded();
  expect(readdirSync(join(folder, 'studies'))).toHaveLength(1);
  await page.getByRole('button', { name: 'Cancel' }).focus();
  await page.keyboard.press('Enter');
  expect(await choose.evaluate((one) => one === document.activeElement)).toBe(true);
  await expect.poll(() => readdirSync(join(folder, 'studies')), SOON).toEqual([]);
  expect(await page.getByText('Sending the file').count()).toBe(0);
  expect(await page.getByRole('alert').count()).toBe(0);
}, 60_000);

test('a question that found no connection says so until the service is heard again', async () => {
  const made = deskSources();
  const observed = { gunYears: 1, wrong: 0, right: 0, notJudged: 0, enough: false, perGunYear: null };
  const promise = new PromiseDesk({ observed: () => observed, simulate: null });
  const sources = { ...made.sources, promise };
  const { page, clock } = await show({
    path: '/settings',
    size: PHONE,
    server: { sources },
    expected: /Failed to load/,
  });
  const compare = page.getByRole('button', { name: 'Compare with what holds' });
  await compare.waitFor();
  await page.route('**/api/studies', (route) => route.abort());
  await compare.click();
  const fault = page.getByRole('region', { name: 'Try on the past' }).getByText('No connection to driftline.');
  await fault.waitFor();
  // The next sign of life of the service.
  await expect
    .poll(async () => {
      clock.advance(3000);
      await page.clock.runFor(1000);
      return fault.count();
    }, SOON)
    .toBe(0);
}, 60_000);
