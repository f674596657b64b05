import { expect, test } from 'vitest';
import { hall } from '../dashboard/hall.ts';
import { FILTER_JOB, GUN_NAMES, INSERT_JOB, NOON, SEAL_JOB } from '../dashboard/hall-guns.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();
const plain = (text: string | null): string => (text ?? '').replace(/[\s\u00a0\u202f]+/g, ' ').trim();

const FIVE = [INSERT_JOB, SEAL_JOB, FILTER_JOB, { ...INSERT_JOB, gun: 'gun-03' }, { ...SEAL_JOB, gun: 'gun-04' }];
const many = (count: number): string[] => Array.from({ length: count }, (_, i) => `Booth ${i + 1} gun`);

test('the wall says what to do next: gun, part, by when, how sure, and the check that comes first', async () => {
  const { page } = await show();
  const jobs = page.getByRole('region', { name: /To do next/ }).getByRole('listitem');
  await jobs.nth(2).waitFor();
  expect((await jobs.allTextContents()).map(plain)).toEqual(
    [
      'M B1 left Pump insert 86 % 3 shifts 22–61 h wear gauge first Conveying air for 180 g/min is up 11.8 % over 96 spray hours, without a step.',
      'M B2 right Pump seals 71 % this shift hose pull first Air for the same output stepped up 8.4 % at the refit on Monday, and ripple doubled.',
      'S B3 right Conveying filter 64 % next stop blow test first Conductance of the conveying line is down 14 % at the gun’s usual pressure.',
    ].map((text) => expect.stringMatching(new RegExp(text.replace(/[.]/g, '\\.').replace(/ /g, ' ?')))),
  );
});

test('every gun has its state, wear left, air now against needed, and the age of its data', async () => {
  const { page, clock, readAll } = await show();
  readAll();
  clock.advance(6000);
  const row = page.getByRole('row', { name: /B1 right/ });
  await expect.poll(async () => plain(await row.textContent()), SOON).toMatch(/[6-8] s/);
  const cells = (await row.getByRole('cell').allTextContents()).map(plain);
  expect(cells.slice(1, 4)).toEqual(['69 %', '3.2/3.0', expect.stringMatching(/^[6-9] s$/)]);
  expect(await row.getByRole('img', { name: 'Good' }).count()).toBe(1);
  expect(await page.getByRole('row').count()).toBe(9);
  expect(
    await page
      .getByRole('row', { name: /B1 left/ })
      .getByRole('img', { name: 'Maintenance required' })
      .count(),
  ).toBe(1);
});

test('a fresh reading shows within two seconds', async () => {
  const { page, clock, read } = await show();
  const row = page.getByRole('row', { name: /B2 left/ });
  await row.waitFor();
  clock.advance(9000);
  await expect.poll(async () => plain(await row.textContent()), SOON).toMatch(/9 s|silent/);
  const began = performance.now();
  read('gun-04', { 'conveying/flow': { time: clock.now(), value: 2.77 } });
  clock.advance(500);
  await expect.poll(async () => plain(await row.textContent()), { interval: 20, timeout: 5000 }).toContain('2.77 m³/h');
  expect(plain(await row.textContent())).toContain('0 s');
  expect(performance.now() - began).toBeLessThan(2000);
});

test('a gun whose data is lost says since when, instead of old figures', async () => {
  const { page, clock, read } = await show();
  const row = page.getByRole('row', { name: /B1 right/ });
  await row.waitFor();
  clock.advance(10_000);
  read('gun-01');
  clock.advance(500);
  await expect.poll(async () => plain(await row.textContent()), SOON).toContain('silent since 14:32');
  expect(plain(await row.textContent())).not.toMatch(/69 %|3\.2/);
  expect(await row.getByRole('img', { name: /Not known/ }).count()).toBe(1);
  expect(plain(await page.getByRole('status').textContent())).toBe('7 guns are silent');
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('data is not called lost before three of the station’s own intervals', async () => {
  const { page, clock, read, sources } = await show();
  for (const { id } of sources.plant.guns) read(id, undefined, 20_000);
  clock.advance(59_000);
  const row = page.getByRole('row', { name: /B1 right/ });
  await expect.poll(async () => plain(await row.textContent()), SOON).toMatch(/5[7-9] s/);
  clock.advance(3000);
  await expect.poll(async () => plain(await row.textContent()), SOON).toContain('silent since');
});

test('all guns silent is told once and calmly, and the jobs stay', async () => {
  const { page, clock } = await show();
  clock.advance(15_000);
  await expect
    .poll(async () => plain(await page.getByRole('status').textContent()), SOON)
    .toBe('All guns silent since 14:32. Hall off?');
  expect(
    await page
      .getByRole('region', { name: /To do next/ })
      .getByRole('listitem')
      .count(),
  ).toBe(3);
});

test('a lost connection is said within ten seconds, with old figures struck out and their time', async () => {
  const { page, dashboard } = await show({ expected: /ERR_CONNECTION_REFUSED|ERR_INCOMPLETE|ERR_EMPTY/ });
  const row = page.getByRole('row', { name: /B1 right/ });
  await row.waitFor();
  await dashboard.stop();
  await page.clock.runFor(9500);
  expect(plain(await page.getByRole('status').textContent())).toBe('No connection. All below is from 14:32.');
  const struck = await row.locator('.gun-wear').evaluate((cell) => getComputedStyle(cell).textDecorationLine);
  expect(struck).toBe('line-through');
  expect(plain(await row.locator('.gun-age').textContent())).toBe('');
  expect(await page.getByRole('time').count()).toBe(0);
  const figures = page.getByRole('region', { name: /To do next/ }).locator('.figure');
  const lines = await figures.evaluateAll((all) => all.map((one) => getComputedStyle(one).textDecorationLine));
  expect(new Set(lines)).toEqual(new Set(['line-through']));
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('a connection that is there but silent counts as lost too, and is made anew', async () => {
  const { page, clock, read } = await show();
  await page.getByRole('row', { name: /B1 right/ }).waitFor();
  await page.clock.runFor(9500);
  // The service's clock stood still: no heartbeat came. The page has opened another stream, whose first event cures it.
  await expect.poll(async () => plain(await page.getByRole('status').textContent()), SOON).toBe('');
  clock.advance(1000);
  read('gun-01');
  clock.advance(0);
  await expect
    .poll(async () => plain(await page.getByRole('row', { name: /B1 left/ }).textContent()), SOON)
    .toContain('0 s');
});

test('trouble of the service stands on top', async () => {
  const { page, setTrouble, clock } = await show();
  setTrouble('Readings are not being analysed.');
  clock.advance(500);
  await expect
    .poll(async () => plain(await page.getByRole('status').textContent()), SOON)
    .toBe('Readings are not being analysed.');
});

test('while a history is still being worked through the wall says how far it is known, and not that nothing is to be done', async () => {
  const { sources } = hall({ jobs: [], now: () => NOON });
  const behind = { ...sources, analysedTo: () => NOON - 20 * 86_400_000 };
  const { page } = await show({ server: { sources: behind } });
  await page.getByText('Not known yet.').waitFor();
  expect(plain(await page.getByRole('status').textContent())).toBe('Still reading the history: known up to 19 Feb.');
  expect(await page.getByText('Nothing to do.').count()).toBe(0);
});

test('before the first event the page says that it connects, then that nobody answers', async () => {
  const { page } = await show({ server: { eventClients: 0 }, expected: /429/ });
  expect(plain(await page.getByRole('status').textContent())).toBe('Connecting…');
  await page.clock.runFor(9500);
  expect(plain(await page.getByRole('status').textContent())).toBe('No answer from the service. Trying again.');
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('nothing to do is said, with the inserts that come next, and nothing is coloured', async () => {
  const { page } = await show({ hall: { jobs: [] } });
  await page.getByText('Nothing to do.').waitFor();
  expect(
    (await page.getByRole('region', { name: 'To do next' }).getByRole('listitem').allTextContents()).map(plain),
  ).toEqual(['B1 left 29–62 h', 'B2 right 34–72 h', 'B2 left 39–84 h']);
  const chroma = await page.evaluate(() => {
    const spread = (colour: string): number => {
      const [r, g, b, alpha] = (colour.match(/[\d.]+/g) ?? []).map(Number) as [number, number, number, number?];
      return alpha === 0 ? 0 : Math.max(r, g, b) - Math.min(r, g, b);
    };
    return Math.max(
      ...[...document.querySelectorAll('.wall, .wall *')].flatMap((element) => {
        const { color, backgroundColor, fill, stroke, borderBottomColor } = getComputedStyle(element);
        return [color, backgroundColor, fill, stroke, borderBottomColor].filter((c) => c.startsWith('rgb')).map(spread);
      }),
    );
  });
  expect(chroma).toBeLessThan(16);
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('a gun that is learnt shows how far', async () => {
  const learning = { signal: 'conveying air', have: 12, need: 60 };
  const { page } = await show({
    hall: {
      jobs: [],
      views: (view, index) => (index === 0 ? { ...view, state: 'learning', learning, wearLeft: null } : view),
    },
  });
  const row = page.getByRole('row', { name: /B1 left/ });
  await row.waitFor();
  expect(plain(await row.textContent())).toContain('learnt 12/60');
  expect(await row.getByRole('img', { name: 'Learning' }).count()).toBe(1);
});

test('guns that were never read or analysed say so', async () => {
  const { page } = await show({ hall: { jobs: [], views: () => null, unread: true } });
  await page.getByText('No readings yet.').waitFor();
  expect(await page.getByText('no reading yet').count()).toBe(8);
});

test('of 24 guns those that need someone stay, the others turn every ten seconds, and all are told', async () => {
  const { page } = await show({ hall: { names: many(24), jobs: FIVE } });
  const shown = async (): Promise<string[]> =>
    (await page.getByRole('rowheader').allTextContents()).map((text) => plain(text).split('gun')[0]?.trim() ?? '');
  await page.getByRole('rowheader').first().waitFor();
  const first = await shown();
  await page.clock.runFor(10_000);
  const second = await shown();
  expect(second.slice(0, 4)).toEqual(first.slice(0, 4));
  expect(second.slice(4)).not.toEqual(first.slice(4));
  expect(plain(await page.locator('.turns').textContent())).toContain(
    'of 24 guns. The first 4 stay, the others turn every 10 s: 2 of',
  );
  await page.keyboard.press('ArrowLeft');
  expect(await shown()).toEqual(first);
  await page.clock.runFor(30_000);
  expect(await shown()).toEqual(first);
  expect(await page.getByRole('button', { name: 'Hold' }).getAttribute('aria-pressed')).toBe('true');
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('US plants read scfm and psi, and times of twelve hours', async () => {
  const { page } = await show({ hall: { units: 'us' } });
  const row = page.getByRole('row', { name: /B1 right/ });
  await row.waitFor();
  expect(plain(await row.textContent())).toContain('2.0/1.9');
  expect(plain(await row.textContent())).toContain('2.09 scfm, 27.8 psi');
  expect(plain(await page.locator('header').textContent())).toContain('2:32 PM');
});

test('nothing moves by itself on the page', async () => {
  const { page } = await show({ hall: { names: many(24) } });
  await page.getByRole('row').first().waitFor();
  await page.clock.runFor(10_000);
  expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
});

test('the wall has no accessibility fault, and leads by keyboard to a job', async () => {
  const { page } = await show({ hall: { jobs: FIVE } });
  const job = page.getByRole('link', { name: /Pump insert/ }).first();
  await job.waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await job.focus();
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Change the pump insert' }).waitFor();
});

test('a phone shows all guns without turning pages or scrolling sideways', async () => {
  const { page } = await show({ hall: { names: many(24), jobs: FIVE }, size: PHONE });
  await page.getByRole('row').first().waitFor();
  const visible = await page
    .getByRole('rowheader')
    .evaluateAll((all) => all.filter((one) => one.getClientRects().length > 0).length);
  expect(visible).toBe(24);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('paper shows all guns and no buttons', async () => {
  const { page } = await show({ hall: { names: many(24), jobs: FIVE } });
  await page.getByRole('row').first().waitFor();
  await page.emulateMedia({ media: 'print' });
  const visible = await page
    .getByRole('rowheader')
    .evaluateAll((all) => all.filter((one) => one.getClientRects().length > 0).length);
  expect(visible).toBe(24);
  expect(await page.getByRole('button', { name: 'Hold' }).isVisible()).toBe(false);
  expect(await page.getByRole('navigation').isVisible()).toBe(false);
});

test('the hall’s names are those of the plant file', async () => {
  const { page } = await show({ hall: { names: GUN_NAMES.slice(0, 2) } });
  await page.getByRole('row', { name: /Booth 1 left/ }).waitFor();
  expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('Hall 2');
  expect(NOON).toBe(Date.parse('2026-03-11T14:32:00+01:00'));
});
