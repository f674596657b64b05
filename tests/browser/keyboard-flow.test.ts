import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { SOON, screensOfHall } from './screens.ts';
import { sprayedRuns } from './sprayed-runs.ts';
import { studyingSources } from './studying-sources.ts';

const show = screensOfHall();
/** Presses of Tab after which something counts as out of reach. Source: own choice, more than the page has controls. */
const MOST_PRESSES = 120;

/** What has the focus, as a person hears it; empty where nothing has. */
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const one = document.activeElement;
    if (one === null || one === document.body) return '';
    const label =
      (one as HTMLInputElement).labels?.[0]?.textContent ?? one.getAttribute('aria-label') ?? one.textContent;
    return `${one.tagName.toLowerCase()} ${label ?? ''}`.replace(/\s+/g, ' ').trim();
  });

/** Goes on with Tab until the focus is on what is wanted, which has to show it. */
async function tabTo(page: Page, wanted: RegExp): Promise<void> {
  const met: string[] = [];
  for (let press = 0; press < MOST_PRESSES; press++) {
    await page.keyboard.press('Tab');
    const now = await focused(page);
    met.push(now);
    if (!wanted.test(now)) continue;
    const outline = await page.evaluate(() => getComputedStyle(document.activeElement!).outlineStyle);
    expect(outline, `outline of ${now}`).not.toBe('none');
    return;
  }
  throw new Error(`${wanted} was not reached by Tab; met: ${[...new Set(met)].join(' | ')}`);
}

/** Lets the page's clock run until a text is there. */
const follow = (page: Page, text: string | RegExp): Promise<void> =>
  expect.poll(() => page.clock.runFor(500).then(() => page.getByText(text).count()), SOON).toBeGreaterThan(0);

test('history, replay, curve, suggestion, adopting and the way back go by keys alone, and the focus is never lost', async () => {
  const made = deskSources();
  sprayedRuns(made.store);
  await made.sources.histories!.parquet('gun-01', 0, 1);
  const sources = studyingSources(made);
  const from = new Date(NOON - 86_400_000).toISOString();
  const path = `/history?gun=gun-01&from=${from}&to=${new Date(NOON).toISOString()}`;
  const { page } = await show({ path, server: { sources }, expected: /404/ });
  const { keyboard } = page;
  const press = async (key: string): Promise<void> => {
    await keyboard.press(key);
    expect(await focused(page), `focus after ${key}`).not.toBe('');
  };

  // Gun history: the span, its numbers, another gun.
  await page.getByText('Conveying air').first().waitFor();
  const span = (): number => {
    const asked = new URL(page.url()).searchParams;
    return Date.parse(asked.get('to') ?? '') - Date.parse(asked.get('from') ?? '');
  };
  await tabTo(page, /^select .*Gun/i);
  await tabTo(page, /^summary Numbers as a table/);
  await press('Enter');
  await page.getByRole('columnheader', { name: 'Flowing, m³/h' }).waitFor();
  await press('+');
  await expect.poll(span, SOON).toBe(43_200_000);

  // To the settings.
  await tabTo(page, /^button Engineer/);
  if ((await page.evaluate(() => document.activeElement?.getAttribute('aria-expanded'))) === 'false')
    await press('Enter');
  await tabTo(page, /^a Settings$/);
  await keyboard.press('Enter');
  await page.waitForURL('**/settings');
  await tabTo(page, /^input .*Smallest change worth a visit/);
  await press('Control+a');
  await keyboard.type('3');
  await page.getByText('Smallest change worth a visit: 5 → 3 % of air').waitFor();

  // Replay, curve and suggestion.
  await tabTo(page, /^button Compare with what holds/);
  await press('Enter');
  await follow(page, 'Finding by finding');
  expect(await focused(page)).toMatch(/^button Compare/);
  const saved = page.waitForEvent('download');
  await tabTo(page, /^button Save this study/);
  await press('Enter');
  expect((await saved).suggestedFilename()).toBe('study-1.gz');
  expect(await focused(page)).toMatch(/^button Save this study/);
  await tabTo(page, /^button Draw the trade-off/);
  await press('Enter');
  await follow(page, 'As a table (2 settings)');
  expect(await focused(page)).toMatch(/^button Draw the trade-off/);
  await tabTo(page, /^summary As a table/);
  await press('Enter');
  await tabTo(page, /^button Propose$/);
  await press('Enter');
  await tabTo(page, /^input Suggest for at most/);
  await press('Control+a');
  await keyboard.type('0.5');
  await tabTo(page, /^button Suggest$/);
  await press('Enter');
  await follow(page, 'Propose these');
  expect(await focused(page)).toMatch(/^button Suggest/);
  await page.locator('.trade-off svg text').filter({ hasText: 'suggested' }).waitFor();
  await tabTo(page, /^button Propose these/);
  await press('Enter');
  await page.getByText('Smallest change worth a visit: 5 → 4 % of air').waitFor();

  await tabTo(page, /^button Back to what holds/);
  await press('Enter');
  await expect.poll(() => focused(page), SOON).toMatch(/^h2 Proposed/);
  await tabTo(page, /^button Propose these/);
  await press('Enter');

  // Adopted, and taken back; a reason has to be given.
  await tabTo(page, /^input Why/);
  await keyboard.press('Tab');
  await press('Enter');
  expect(made.store.settings.list()).toHaveLength(1);
  expect(await focused(page)).toMatch(/^input Why/);
  await keyboard.type('as suggested');
  await keyboard.press('Tab');
  await keyboard.press('Enter');
  await follow(page, 'Version 2, holds now');
  expect(made.store.settings.list().at(-1)).toMatchObject({ why: 'as suggested', settings: { smallestChange: 0.04 } });
  await expect.poll(() => focused(page), SOON).toMatch(/^p Version 2, holds now/);
  await tabTo(page, /^button Back to version 1/);
  await press('Enter');
  await follow(page, 'Version 3, holds now');
  expect(made.store.settings.list().at(-1)?.settings.smallestChange).toBe(0.05);
  await expect.poll(() => focused(page), SOON).toMatch(/^p Version 3, holds now/);
}, 120_000);

test('of two engineers the second is led to what the first did, and goes on from there, by keys alone', async () => {
  const made = deskSources();
  const { page, post } = await show({
    path: '/settings',
    server: { sources: studyingSources(made) },
    expected: /409|404/,
  });
  const { keyboard } = page;
  const type = async (label: RegExp, text: string): Promise<void> => {
    await tabTo(page, label);
    await keyboard.press('Control+a');
    await keyboard.type(text);
  };
  const holds = () => made.store.settings.list().at(-1)!;
  const adoptedByOther = async (changes: object): Promise<void> => {
    const { settings, version } = holds();
    const body = { settings: { ...settings, ...changes }, why: 'more notice', after: version };
    expect((await post('/api/settings', body)).status).toBe(201);
  };
  const heading = /^h2 Somebody else changed the settings/;

  await page.getByLabel('Smallest change worth a visit').waitFor();
  await type(/^input .*Smallest change worth a visit/, '3');
  await adoptedByOther({ leadTimeShifts: 7 });
  await type(/^input Why/, 'sooner');
  await keyboard.press('Enter');
  await expect.poll(() => focused(page), SOON).toMatch(heading);
  await page.getByText('Notice wanted: 3 → 7 shifts').first().waitFor();
  expect(holds()).toMatchObject({ version: 2, settings: { smallestChange: 0.05 } });

  // Pressed once more nothing is adopted either: what hinders is shown again.
  await tabTo(page, /^input Why/);
  await keyboard.press('Enter');
  await expect.poll(() => focused(page), SOON).toMatch(heading);
  expect(holds().version).toBe(2);

  await tabTo(page, /^button Put my changes on top of theirs/);
  await keyboard.press('Enter');
  await expect.poll(() => focused(page), SOON).toMatch(/^h2 Proposed/);
  await tabTo(page, /^input Why/);
  expect(await page.evaluate(() => (document.activeElement as HTMLInputElement).value)).toBe('sooner');
  await keyboard.press('Enter');
  await follow(page, 'Version 3, holds now');
  await expect.poll(() => focused(page), SOON).toMatch(/^p Version 3, holds now/);
  expect(holds().settings).toMatchObject({ smallestChange: 0.03, leadTimeShifts: 7 });

  // Who only types is told as well, and stays where he types.
  await type(/^input .*Smallest change worth a visit/, '4');
  await adoptedByOther({ leadTimeShifts: 9 });
  await follow(page, 'Notice wanted: 7 → 9 shifts');
  expect(await focused(page)).toMatch(/^input .*Smallest change worth a visit/);
  await tabTo(page, /^button Drop mine/);
  await keyboard.press('Enter');
  await expect.poll(() => focused(page), SOON).toMatch(/^h2 Proposed/);
  expect(await page.getByLabel('Smallest change worth a visit').inputValue()).toBe('3');
}, 120_000);
