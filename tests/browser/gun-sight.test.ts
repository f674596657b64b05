import { expect, test } from 'vitest';
import type { PartSight } from '../../analyzer/index.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, PHONE, screensOfHall, WALL } from './screens.ts';

const show = screensOfHall();

const SEALS: PartSight = {
  ...{ part: 'pump-seals', seen: 'first', smallestChange: 0.025, of: 'excess air', sprayHours: 0.75 },
  ...{ missing: ['conveying/ripple'], why: 'a step in air per output' },
};
const INLET: PartSight = {
  ...{ part: 'inlet-filter', seen: 'first', smallestChange: 0.2, of: 'inlet pressure, bar', sprayHours: 1.5 },
  ...{ missing: [], why: 'inlet pressure sags more as total flow rises' },
};
const HOSE: PartSight = {
  ...{ part: 'powder-hose', seen: 'none', smallestChange: null, of: null, sprayHours: null },
  ...{ missing: ['powder/output'], why: 'without output a change of back pressure does not show' },
};

/** Sources of a hall in which the first gun's channels let so much be seen. */
function sourcesWith(sight: PartSight[], units: 'metric' | 'us' = 'metric') {
  const { sources } = deskSources();
  const views = sources.views().map((view) => (view.id === 'gun-01' ? { ...view, sight } : view));
  const plant = { ...sources.plant, site: { ...sources.plant.site, units } };
  return { ...sources, plant, views: () => views };
}

test('a gun’s page tells what its channels let be seen, what not, and what would help', async () => {
  const { page } = await show({ path: '/guns/gun-01', server: { sources: sourcesWith([INLET, SEALS, HOSE]) } });
  const table = page
    .locator('details', { hasText: 'What can be seen with the channels fitted' })
    .getByRole('table', { name: /^Smaller changes/ });
  await table.waitFor();
  const rows = (await table.getByRole('row').allTextContents()).slice(1);
  expect(rows[0]).toMatch(/^Inlet filterby the air0.20.bar more sag of the inlet pressure1.5.hInlet pressure sags/);
  expect(rows[1]).toMatch(/^Pump sealsby the air2.5.% excess air0.75.hA step in air per output.ripple$/);
  expect(rows[2]).toMatch(/^Powder hosenot seen––Without output a change .* does not show.powder output$/);
  expect(await accessibilityFaults(page)).toEqual([]);
}, 60_000);

test('pressures in it are in the hall’s units, and a phone shows it without scrolling sideways', async () => {
  const sources = sourcesWith([INLET], 'us');
  const { page } = await show({ path: '/guns/gun-01', size: PHONE, server: { sources } });
  await page.getByText('What can be seen with the channels fitted').click();
  await page.getByText(/2.9.psi more sag of the inlet pressure/).waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
}, 60_000);

test('before the first spray runs it says that it is told later', async () => {
  const { page } = await show({ path: '/guns/gun-01', server: { sources: sourcesWith([]) } });
  await page.getByText('is told here once its first spray runs have been analysed').waitFor();
}, 60_000);

test('where it does not come the page says so and keeps the rest', async () => {
  const { page } = await show({ path: '/guns/gun-02', expected: /500/, server: { sources: sourcesWith([]) } });
  await page.route('**/sight', (route) => route.fulfill({ status: 500, body: '{"detail":"no answer"}' }));
  await page.reload();
  await page.getByRole('alert').waitFor();
  await page.getByRole('table', { name: /^Hours and powder/ }).waitFor();
}, 60_000);

test('parts of the page are folded on a phone until they are wanted, by finger or key, and open where there is room', async () => {
  const sources = sourcesWith([INLET]);
  const { page } = await show({ path: '/guns/gun-01', size: PHONE, server: { sources } });
  const folds = page.locator('details.folded');
  await folds.first().waitFor();
  const open = (): Promise<boolean[]> => folds.evaluateAll((all) => all.map((one) => (one as HTMLDetailsElement).open));
  const closed = await open();
  expect(closed.length).toBeGreaterThanOrEqual(2);
  expect(closed.every((isOpen) => !isOpen)).toBe(true);
  const parts = page.getByRole('table', { name: /^Hours and powder/ });
  expect(await parts.isVisible()).toBe(false);
  const head = folds.first().locator('summary');
  expect((await head.boundingBox())!.height).toBeGreaterThanOrEqual(44);
  await head.focus();
  await page.keyboard.press('Enter');
  await parts.waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await head.click();
  expect(await parts.isVisible()).toBe(false);

  await page.setViewportSize(WALL);
  await page.reload();
  await parts.waitFor();
  expect((await open()).every(Boolean)).toBe(true);
}, 60_000);
