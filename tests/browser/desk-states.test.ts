import { expect, test } from 'vitest';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { SOON, screensOfHall, WALL } from './screens.ts';

const show = screensOfHall();

test.each(['/settings', '/findings', '/history', '/baseline', '/import'])(
  '%s says that the service is not reached, and shows itself once it is',
  async (path) => {
    const made = deskSources();
    const { page } = await show({ path: '/status', size: WALL, server: { sources: made.sources }, expected: /./ });
    await page.route('**/api/**', (route) => route.abort());
    await page.goto(new URL(path, page.url()).href);
    const fault = page.locator('main .fault').first();
    await fault.waitFor();
    expect(await fault.textContent()).toBe('No connection to driftline.');
    await page.unroute('**/api/**');
    await expect.poll(() => page.clock.runFor(3000).then(() => page.getByText('No connection').count()), SOON).toBe(0);
  },
  60_000,
);

test('a reason that is typed after the word is kept without taking the word back', async () => {
  const made = deskSources();
  made.store.findings.save([...(await made.sources.findings({ open: false, limit: 10, beforeMs: null }))], 1);
  const { page } = await show({ path: '/findings', size: WALL, server: { sources: made.sources } });
  await page.getByRole('button', { name: 'Wrong' }).first().click();
  await page.getByText('said by local', { exact: true }).waitFor();
  await page.getByLabel('Reason').first().fill('the hose was kinked');
  await page.getByRole('button', { name: 'Keep this reason' }).click();
  const words = (): unknown[] => made.store.truths.judgements().map(({ judged, reason }) => [judged, reason]);
  await expect.poll(words, SOON).toEqual([['wrong', 'the hose was kinked']]);
  await expect.poll(() => page.getByRole('button', { name: 'Keep this reason' }).count(), SOON).toBe(0);
  // The same by the word itself, pressed again; pressed once more it is taken back.
  await page.getByLabel('Reason').first().fill('the hose was shut');
  await page.getByRole('button', { name: 'Wrong' }).first().click();
  await expect.poll(words, SOON).toEqual([['wrong', 'the hose was shut']]);
  await page.getByRole('button', { name: 'Wrong' }).first().click();
  await expect.poll(words, SOON).toEqual([]);
}, 60_000);
