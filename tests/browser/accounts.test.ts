import type { Page } from 'playwright-core';
import { expect, test, vi } from 'vitest';
import { addToken } from '../../dashboard/server/index.ts';
import { hall } from '../dashboard/hall.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { freshAccess } from '../dashboard/server/access/open-house.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

// Every password costs a second of a core, more on a busy machine.
vi.setConfig({ testTimeout: 90_000 });

const show = screensOfHall();
const PASSWORD = 'a word that is long';
/** The browser itself says on its console that an answer was 401. */
const REFUSED = /status of 4\d\d/;

/** A page of the hall behind accounts, for somebody who has just got their link. */
async function house(path: string, options: { accounts?: boolean } = {}) {
  const fresh = freshAccess(options.accounts);
  const token = options.accounts === false ? '' : fresh.invite('Anna', 'administrator');
  const sources = { ...hall({ now: () => NOON }).sources, access: fresh.access };
  const shown = await show({ path: path.replace('TOKEN', token), size: PHONE, server: { sources }, expected: REFUSED });
  return { ...fresh, ...shown };
}

async function choosePassword(page: Page): Promise<void> {
  await page
    .getByLabel(/^Password/)
    .and(page.locator('input'))
    .fill(PASSWORD);
  await page.getByLabel('The same again').fill(PASSWORD);
  await page.keyboard.press('Enter');
  await expect.poll(() => page.title(), { ...SOON, timeout: 15_000 }).toContain('Wall');
}

test('nothing is shown before somebody signs in, and then the page that was asked for', async () => {
  const { page, url } = await house('/welcome#TOKEN');
  expect(await accessibilityFaults(page)).toEqual([]);
  await page
    .getByLabel(/^Password/)
    .and(page.locator('input'))
    .fill(PASSWORD);
  await page.getByRole('button', { name: 'Choose it and sign in' }).click();
  await expect.poll(() => page.getByRole('alert').textContent(), SOON).toBe('The two are not the same.');
  await choosePassword(page);

  await page.goto(`${url}/account`);
  await page.getByText('Anna, administrator').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Sign out', exact: true }).click();
  await page.getByRole('heading', { name: 'Sign in' }).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);

  await page.goto(`${url}/audit`);
  await page.getByLabel('Name').fill('anna');
  await page.getByLabel('Password').fill('not the right one');
  await page.keyboard.press('Enter');
  await expect
    .poll(() => page.getByRole('alert').textContent(), { ...SOON, timeout: 15_000 })
    .toBe('Signing in was refused: name and password do not belong together');
  await page.getByLabel('Password').fill(PASSWORD);
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Audit trail' }).waitFor({ timeout: 15_000 });
  await page.getByRole('row').filter({ hasText: 'signed out' }).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('an administrator adds people, screens and stations, sees each secret once, and takes access away', async () => {
  const { page, url, access } = await house('/welcome#TOKEN');
  await choosePassword(page);
  await page.goto(`${url}/people`);
  const add = page.getByRole('form', { name: 'Add a person' });
  await add.getByLabel('Name').fill('Boris');
  await add.getByRole('button').click();
  const secret = page.getByRole('region', { name: 'Link for Boris to choose a password' });
  await secret.waitFor();
  expect(await secret.locator('code').textContent()).toMatch(/\/welcome#[\w-]{43}$/);
  expect(await secret.evaluate((element) => element === document.activeElement)).toBe(true);
  expect(await accessibilityFaults(page)).toEqual([]);
  await secret.getByRole('button', { name: 'Done, hide it' }).click();
  expect(await page.locator('code').count()).toBe(0);

  await page.getByLabel('Role of Boris').selectOption('engineer');
  await expect.poll(() => access.store.access.people.byName('Boris')?.role, SOON).toBe('engineer');
  // The last administrator stays one, and the page shows it so.
  await page.getByLabel('Role of Anna').selectOption('fitter');
  await page.getByText('Anna is the last administrator; name another one first').waitFor();
  await expect.poll(() => page.getByLabel('Role of Anna').inputValue(), SOON).toBe('administrator');

  await page.getByRole('button', { name: 'Take away: Boris' }).click();
  await page.getByRole('button', { name: 'No', exact: true }).click();
  await page.getByRole('button', { name: 'Take away: Boris' }).click();
  await page.getByRole('button', { name: 'Yes, take away: Boris' }).click();
  await page.getByText('may not sign in any more').waitFor();
  expect(access.store.access.people.byName('Boris')?.revokedAt).toBe(NOON);

  await page.getByLabel('Where it hangs').fill('Hall 2');
  await page.getByRole('button', { name: 'Make its link' }).click();
  await page.getByRole('region', { name: 'Link that the wall screen Hall 2 opens' }).waitFor();
  const station = page.getByRole('form', { name: 'Add a station' });
  await station.getByLabel('Station').selectOption('gun-02');
  await station.getByRole('button').click();
  await page.getByRole('region', { name: 'MQTT password of gun-02' }).waitFor();
  expect(access.store.access.stations.list().map(({ name }) => name)).toEqual(['gun-02']);
});

test('without accounts the page makes the first administrator, and asks to sign in from then on', async () => {
  const { page, access } = await house('/people', { accounts: false });
  await page.getByText('No accounts are set up.').waitFor();
  const add = page.getByRole('form', { name: 'Add a person' });
  await add.getByLabel('Name').fill('Anna');
  await add.getByRole('button').click();
  await page.locator('code').waitFor();
  await page.getByRole('button', { name: 'Done, hide it' }).click();
  await page.getByRole('heading', { name: 'Sign in' }).waitFor();
  expect(access.store.access.people.list().map(({ role }) => role)).toEqual(['administrator']);
});

test('a wall’s link shows the wall and no way to pages that change something', async () => {
  const { page, url, access, invite } = await house('/');
  await page.getByRole('heading', { name: 'Sign in' }).waitFor();
  invite('Carla', 'fitter');
  const actor = { who: 'test', origin: 'test', now: NOON };
  const { secret } = addToken(
    { store: access.store, random: access.random },
    { name: 'screen', kind: 'wall', role: 'wall' },
    actor,
  );
  await page.goto(`${url}/wall/${secret}`);
  await expect.poll(() => page.url(), SOON).toBe(`${url}/`);
  await page.goto(`${url}/account`);
  await page.getByText('This screen was let in by a wall’s link').waitFor();
  const links = await page.getByRole('navigation').getByRole('link', { includeHidden: true }).allTextContents();
  expect(links).toContain('Jobs');
  for (const name of ['Log work', 'People', 'Audit trail']) expect(links).not.toContain(name);
  await page.goto(`${url}/wall/${'x'.repeat(43)}`);
  // Signed in by the good link still: the broken one changes nothing, and the wall is shown.
  await expect.poll(() => page.title(), SOON).toContain('Wall');
});

test('a station that was taken away is let in again, with a new password that is shown once', async () => {
  const { page, url, access } = await house('/welcome#TOKEN');
  await choosePassword(page);
  await page.goto(`${url}/people`);
  const add = page.getByRole('form', { name: 'Add a station' });
  await add.getByLabel('Station').selectOption('gun-02');
  await add.getByRole('button').click();
  const secret = page.getByRole('region', { name: 'MQTT password of gun-02' });
  const first = await secret.locator('code').first().textContent();
  await secret.getByRole('button', { name: 'Done, hide it' }).click();
  await page.getByRole('button', { name: 'Take away: gun-02' }).click();
  await page.getByRole('button', { name: 'Yes, take away: gun-02' }).click();
  await page.getByText('station, taken away').waitFor();
  const revoked = (): unknown => access.store.access.stations.list().map(({ revokedAt }) => revokedAt);
  expect(revoked()).toEqual([NOON]);
  expect(await page.getByRole('button', { name: 'New password: gun-02' }).count()).toBe(0);

  await page.getByRole('button', { name: 'Let in again: gun-02' }).click();
  await page.getByText('Let gun-02 in again?').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Yes, let in again: gun-02' }).click();
  await secret.waitFor();
  expect(await secret.locator('code').first().textContent()).not.toBe(first);
  expect(revoked()).toEqual([null]);
  await page.getByRole('button', { name: 'New password: gun-02' }).waitFor();
});
