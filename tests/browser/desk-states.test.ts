import { expect, test } from 'vitest';
import { baselineDesk } from '../../dashboard/service/baseline-desk.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { SOON, screensOfHall, WALL } from './screens.ts';
import { sprayedRuns } from './sprayed-runs.ts';

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

test('what was pressed while the service was not reached says so until it is heard again, and is refused in words', async () => {
  const made = deskSources();
  sprayedRuns(made.store);
  const baselines = baselineDesk({
    ...{ store: made.store, plant: made.sources.plant, source: 'api', now: () => NOON },
    ...{ views: made.sources.views, changed: () => undefined },
  });
  const sources = { ...made.sources, baselines };
  const { page, post } = await show({ path: '/baseline?gun=gun-01', size: WALL, server: { sources }, expected: /./ });
  const learn = page.getByRole('region', { name: 'Learn anew' });
  await learn.getByLabel('From').fill('2001-03-01T08:00');
  await learn.getByLabel('Reason').fill('another pump');
  await page.route('**/api/relearnings', (route) => route.abort());
  await learn.getByRole('button', { name: 'Learn anew' }).click();
  await learn.getByText('No connection to driftline.').waitFor();
  await page.unroute('**/api/relearnings');
  // The next word from the service: it is heard.
  await post('/api/log', { gun: 'gun-01', part: 'nozzle', action: 'inspected', found: 'good' });
  await expect.poll(() => page.clock.runFor(1000).then(() => learn.getByRole('alert').count()), SOON).toBe(0);
  // What was typed is still there, and can be sent.
  await learn.getByRole('button', { name: 'Learn anew' }).click();
  const refused = learn.getByRole('alert');
  await refused.getByText('The request is not valid: from: found').waitFor();
  expect(await refused.textContent()).not.toContain('#/');
}, 60_000);
