import { expect, test } from 'vitest';
import { jobPath } from '../../dashboard/web/route.ts';
import { FILTER_JOB, INSERT_JOB } from '../dashboard/hall-guns.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();
const INSERT = jobPath(INSERT_JOB.finding);
const texts = (all: string[]): string[] => all.map((text) => text.replace(/[\s\u202f]+/g, ' ').trim());

test('a job in full shows cautions before the check, and the check before the log', async () => {
  const { page } = await show({ path: INSERT, size: PHONE });
  await page.getByRole('heading', { level: 1, name: 'Change the pump insert' }).waitFor();
  const main = (await page.getByRole('main').textContent()) ?? '';
  const order = [
    'Before you touch anything',
    'Switch off and discharge high voltage',
    'First check',
    'Push the wear gauge in',
    'Log the change',
    'Why',
  ];
  const places = order.map((text) => main.indexOf(text));
  expect(places.every((place) => place >= 0)).toBe(true);
  expect(places).toEqual([...places].sort((a, b) => a - b));
  expect(main).toContain('about 37 spray hours (80 % interval: 22 to 61)');
  // A number stays with its sign, however narrow the page is.
  const share = page.getByText('80 %', { exact: true });
  expect(
    await share.evaluate((span) => getComputedStyle(span).whiteSpaceCollapse + getComputedStyle(span).textWrapMode),
  ).toBe('collapsenowrap');
  expect(texts(await page.getByRole('row').allTextContents())).toEqual(['Pump insert86 %', 'Pump seals9 %']);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('from a job one logs the change, or what the check found, without choosing again', async () => {
  const { page } = await show({ path: INSERT });
  await page.getByRole('link', { name: 'Log the change' }).click();
  await page.getByRole('radio', { name: 'Booth 1 left' }).waitFor();
  expect(await page.getByRole('radio', { name: 'Booth 1 left' }).isChecked()).toBe(true);
  expect(await page.getByRole('radio', { name: 'Pump insert' }).isChecked()).toBe(true);
  expect(await page.getByRole('radio', { name: 'Replaced' }).isChecked()).toBe(true);
  await page.goBack();
  await page.getByRole('link', { name: 'Log what the check found' }).click();
  await page.getByRole('radio', { name: 'Inspected' }).waitFor();
  expect(await page.getByRole('radio', { name: 'Inspected' }).isChecked()).toBe(true);
});

test('all jobs stand on one page, each with its cautions, and follow what changes', async () => {
  const { page, setJobs, clock } = await show({ path: '/jobs' });
  await page.getByRole('heading', { level: 2, name: 'Change the conveying filter' }).waitFor();
  expect(await page.getByRole('article').count()).toBe(3);
  expect(await page.getByRole('heading', { name: 'Before you touch anything' }).count()).toBe(3);
  expect(await accessibilityFaults(page)).toEqual([]);
  setJobs([FILTER_JOB]);
  clock.advance(1000);
  await expect.poll(() => page.getByRole('article').count(), SOON).toBe(1);
  setJobs([]);
  clock.advance(1000);
  await page.getByText('Nothing to do.').waitFor();
});

test('a job that is gone with its finding says so', async () => {
  const { page, setJobs, clock } = await show({ path: INSERT });
  await page.getByRole('heading', { level: 1, name: 'Change the pump insert' }).waitFor();
  setJobs([]);
  clock.advance(1000);
  await page.getByText('There is no such job').waitFor();
  expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('Pump insert');
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('a lost connection is said here too', async () => {
  const { page, dashboard } = await show({
    path: '/jobs',
    expected: /ERR_CONNECTION_REFUSED|ERR_INCOMPLETE|ERR_EMPTY/,
  });
  await page.getByRole('article').first().waitFor();
  await dashboard.stop();
  await page.clock.runFor(9500);
  await page.getByText(/^No connection\. What is shown is from Wednesday,? 11 March 2026, 14:32\.$/).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('jobs on paper: no buttons, the time they were true, a list, then each job on one page', async () => {
  const { page } = await show({ path: '/jobs' });
  await page.getByRole('article').first().waitFor();
  await page.emulateMedia({ media: 'print' });
  expect(await page.getByRole('button', { name: 'Print' }).isVisible()).toBe(false);
  expect(await page.getByText(/as of Wednesday,? 11 March 2026, 14:32/).isVisible()).toBe(true);
  for (const format of ['A4', 'Letter']) {
    const pdf = (await page.pdf({ format })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g)?.length, format).toBe(1 + 3);
  }
});
