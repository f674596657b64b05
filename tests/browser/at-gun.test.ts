import { expect, test } from 'vitest';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();
const atGun = { path: '/at-gun/gun-01', size: PHONE, expected: /ERR_INTERNET_DISCONNECTED|EventSource|Failed to load/ };

test('a change is logged with three taps on targets that a glove hits, and the cause that the gun asks for comes first', async () => {
  const { page, get } = await show(atGun);
  await page.getByRole('heading', { name: 'Log work: which part?' }).waitFor();
  await expect.poll(() => page.locator('.taps .tap').first().textContent(), SOON).toBe('Pump insert');
  expect(await accessibilityFaults(page)).toEqual([]);
  const heights = await page
    .locator('.taps .tap')
    .evaluateAll((all) => all.map((one) => one.getBoundingClientRect().height));
  expect(Math.min(...heights)).toBeGreaterThanOrEqual(56);
  await page.getByRole('button', { name: 'Pump insert' }).click();
  await page.getByRole('button', { name: 'Changed, old one worn' }).click();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Log it' }).click();
  await page.getByText('Logged.').waitFor();
  expect((await get('/api/log')).body).toMatchObject([
    { gun: 'gun-01', part: 'pump-insert', action: 'replaced', found: 'worn' },
  ]);
});

test('what is logged without network is kept, also over a reload in between, and sent once when it is back', async () => {
  const { page, get } = await show(atGun);
  await page.getByRole('heading', { name: 'Booth 1 left' }).waitFor();
  await page.context().setOffline(true);
  await page.getByRole('button', { name: 'Nozzle' }).click();
  await page.getByRole('button', { name: 'Checked: good' }).click();
  await page.getByRole('button', { name: 'Log it' }).click();
  await page.getByRole('heading', { name: 'Not sent yet (1)' }).waitFor();
  expect((await get('/api/log')).body).toEqual([]);
  await page.context().setOffline(false);
  await page.reload();
  await expect.poll(async () => ((await get('/api/log')).body as unknown[]).length, SOON).toBe(1);
  await page.getByRole('heading', { name: 'Booth 1 left' }).waitFor();
  await expect.poll(() => page.getByRole('heading', { name: /Not sent yet/ }).count(), SOON).toBe(0);
  expect((await get('/api/log')).body).toMatchObject([{ part: 'nozzle', action: 'inspected', found: 'good' }]);
});

test('a label of a gun that is not here says so, and offers those that are', async () => {
  const { page } = await show({ ...atGun, path: '/at-gun/gun-77' });
  await page.getByText('No gun “gun-77” in this plant').waitFor();
  await page.getByRole('link', { name: 'Booth 1 left' }).waitFor();
});

test('the label sheet has one code a gun and says where labels hang', async () => {
  const { page } = await show({ path: '/labels' });
  await page.getByText('No phone or tablet goes in: not to scan, not to log.').waitFor();
  await expect.poll(() => page.getByRole('img', { name: /^QR code: / }).count(), SOON).toBe(8);
  await page.getByLabel('Address of driftline as phones reach it').fill('https://hall.example');
  await page.getByRole('img', { name: 'QR code: Booth 1 left, https://hall.example/at-gun/gun-01' }).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
});
