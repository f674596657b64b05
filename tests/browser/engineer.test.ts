import { expect, test } from 'vitest';
import { PromiseDesk } from '../../dashboard/service/promise-desk.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';
import { sprayedRuns } from './sprayed-runs.ts';

const show = screensOfHall();
const WIDE = { width: 1440, height: 1400 };

/** A service's rate of false findings: nothing judged yet, and a simulation that ends at once. */
function promiseDesk(): PromiseDesk {
  const observed = { gunYears: 1.2, wrong: 0, right: 2, notJudged: 1, enough: false, perGunYear: null };
  const simulated = {
    ...{ gunYears: 30, sprayHours: 30_000, halls: 8, firstSeed: 1, wrong: 6 },
    byCause: [{ cause: 'pump-insert' as const, wrong: 6 }],
    perGunYear: { value: 0.2, low: 0.07, high: 0.44 },
  };
  return new PromiseDesk({ observed: () => observed, simulate: async () => simulated });
}

test('settings: the rate of false findings stands three ways, none for another', async () => {
  const { sources } = deskSources();
  const { page } = await show({
    path: '/settings',
    size: WIDE,
    server: { sources: { ...sources, promise: promiseDesk() } },
  });
  const three = page.getByRole('region', { name: 'False findings' });
  await three.waitFor();
  await page.clock.runFor(1000);
  await three.getByRole('heading', { name: 'Observed here' }).waitFor();
  const rates = (): Promise<string[]> => three.locator('.promise-rate').allInnerTexts();
  expect(await rates()).toEqual([expect.stringMatching(/^0\.\d\d$/), 'not simulated', 'too little data']);
  await three.getByRole('button', { name: /^Simulate/ }).click();
  await expect.poll(() => page.clock.runFor(2000).then(rates), SOON).toContainEqual('0.20 (0.07 to 0.44)');
  expect(await accessibilityFaults(page)).toEqual([]);
}, 60_000);

test('settings: what follows moves with what is typed, a wrong value is named, adopting needs a reason', async () => {
  const made = deskSources();
  const sources = { ...made.sources, promise: promiseDesk() };
  const { page } = await show({ path: '/settings', size: WIDE, server: { sources } });
  const smallest = page.getByLabel('Smallest change worth a visit');
  await smallest.waitFor();
  await page.clock.runFor(1000);
  await page.getByText('What follows: a ramp of 10 %').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);

  await smallest.fill('300');
  await page.getByText('expected a number from 1 to 50').waitFor();
  expect(await page.getByRole('heading', { name: 'Adopt' }).count()).toBe(0);
  await page.getByText('Once what is marked above is put right').waitFor();
  // What followed from the values before does not stand beside others.
  expect(await page.getByText('What follows:').count()).toBe(0);
  await smallest.fill('3');
  await page.getByText('Smallest change worth a visit: 5 → 3 % of air').waitFor();
  const adopt = page.getByRole('button', { name: 'Adopt from now on' });
  expect(await adopt.isDisabled()).toBe(true);
  await page.getByLabel('Why').fill('trial');
  await adopt.click();
  await page.getByText('Version 2, holds now').waitFor();
  expect(made.store.settings.list().at(-1)).toMatchObject({ why: 'trial', settings: { smallestChange: 0.03 } });
  await page.getByRole('button', { name: 'Back to version 1' }).click();
  await page.getByText('Version 3, holds now').waitFor();
  expect(made.store.settings.list().at(-1)?.settings.smallestChange).toBe(0.05);
}, 60_000);

test('settings: the second of two engineers sees what the first did, and puts his own on top of it', async () => {
  const made = deskSources();
  const { page, post } = await show({
    ...{ path: '/settings', size: WIDE, expected: /409/ },
    server: { sources: { ...made.sources, promise: promiseDesk() } },
  });
  const smallest = page.getByLabel('Smallest change worth a visit');
  await smallest.fill('3');
  const settings = { ...made.store.settings.list().at(-1)!.settings, leadTimeShifts: 7 };
  expect((await post('/api/settings', { settings, why: 'more notice', after: 1 })).status).toBe(201);
  await page.getByLabel('Why').fill('sooner');
  const adopt = page.getByRole('button', { name: 'Adopt from now on' });
  await adopt.click();
  const meanwhile = page.getByRole('alert', { name: 'Adopted meanwhile' });
  await meanwhile.getByText('Notice wanted: 3 → 7 shifts').waitFor();
  expect(await meanwhile.textContent()).toContain('more notice');
  // The refusal tells the time as the hall's clock has it.
  const refused = page.getByText('Somebody else changed it first: version 2 was adopted');
  expect(await refused.textContent()).not.toMatch(/T\d\d:\d\d.*Z/);
  expect([await smallest.inputValue(), await adopt.isDisabled()]).toEqual(['3', true]);
  expect(await accessibilityFaults(page)).toEqual([]);
  await meanwhile.getByRole('button', { name: 'Put my changes on top of theirs' }).click();
  expect(await page.getByLabel('Notice wanted').inputValue()).toBe('7');
  await adopt.click();
  await page.getByText('Version 3, holds now').waitFor();
  expect(made.store.settings.list().at(-1)?.settings).toMatchObject({ smallestChange: 0.03, leadTimeShifts: 7 });
}, 60_000);

test('history: charts and a table of the same numbers, keys move the span, the address carries it', async () => {
  const made = deskSources();
  sprayedRuns(made.store);
  // Its thread starts with the first question; a page has no more patience than a person.
  await made.sources.histories!.parquet('gun-01', 0, 1);
  const from = new Date(NOON - 86_400_000).toISOString();
  const path = `/history?gun=gun-01&from=${from}&to=${new Date(NOON).toISOString()}`;
  const histories = made.sources.histories!;
  let asked = 0;
  const history: typeof histories.history = (question) => {
    asked++;
    return histories.history(question);
  };
  const { page } = await show({
    path,
    size: WIDE,
    server: { sources: { ...made.sources, histories: { ...histories, history } } },
  });
  await page.getByText('Conveying air').first().waitFor();
  expect(await page.locator('figure canvas').count()).toBeGreaterThanOrEqual(2);
  // Named with the page, and not asked for once more by its script.
  expect(asked).toBe(1);
  await page.getByText('Numbers as a table').click();
  await page.getByRole('columnheader', { name: 'Flowing, m³/h' }).waitFor();
  expect(await page.getByRole('cell', { name: '3.30' }).count()).toBeGreaterThan(5);
  expect(await accessibilityFaults(page)).toEqual([]);

  await page.keyboard.press('+');
  const span = (): number => {
    const asked = new URL(page.url()).searchParams;
    return Date.parse(asked.get('to') ?? '') - Date.parse(asked.get('from') ?? '');
  };
  await expect.poll(span, SOON).toBe(43_200_000);
  await page.goBack();
  await expect.poll(span, SOON).toBe(86_400_000);

  const curves = page.locator('.u-over').first();
  await curves.hover();
  await page.keyboard.down('Control');
  await page.mouse.wheel(0, -100);
  await page.keyboard.up('Control');
  await page.clock.runFor(1000);
  await expect.poll(span, SOON).toBeCloseTo(0.8 * 86_400_000, -4);
  // Beside the curves too: rows and charts come and go with the span, and the wheel must not fall to the browser.
  await page.getByText('Powder output').first().hover();
  await page.keyboard.down('Control');
  await page.mouse.wheel(0, 100);
  await page.keyboard.up('Control');
  await page.clock.runFor(1000);
  await expect.poll(span, SOON).toBeCloseTo(86_400_000, -4);
  // What the pointer is on says what it is, and nothing else yet: words for hundreds of things would hold the picture up.
  await page.locator('.events rect').first().hover();
  const titles = (): Promise<string[]> => page.locator('.events rect title').allTextContents();
  await expect.poll(titles, SOON).toEqual([expect.stringMatching(/^p-white, .*2026, \d\d:\d\d to .*2026, \d\d:\d\d$/)]);
  await page.getByText('What happened, as a list').click();
  await page.getByText(/Powder: p-white$/).waitFor();
  await page.getByRole('combobox').first().selectOption('gun-02');
  await page.getByText('has sent nothing yet').waitFor();
  expect(await page.locator('figure canvas').count()).toBe(0);
  // The gun beside it is drawn all the same.
  await page.getByRole('combobox', { name: 'Beside it' }).selectOption('gun-01');
  await expect.poll(() => page.locator('figure canvas').count(), SOON).toBeGreaterThanOrEqual(2);
  expect(await page.getByText('has sent nothing yet').count()).toBe(1);
}, 60_000);

test('findings: right, wrong and taken back, on a phone', async () => {
  const made = deskSources();
  made.store.findings.save([...(await made.sources.findings({ open: false, limit: 10, beforeMs: null }))], 1);
  const { page } = await show({ path: '/findings', size: PHONE, server: { sources: made.sources } });
  const right = page.getByRole('button', { name: 'Right' }).first();
  await right.waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  const words = (): (string | null)[] => made.store.truths.judgements().map(({ judged }) => judged);
  await right.click();
  await expect.poll(words, SOON).toEqual(['right']);
  await expect.poll(() => right.getAttribute('aria-pressed'), SOON).toBe('true');
  await right.click();
  await expect.poll(words, SOON).toEqual([]);
  await right.click();
  await expect.poll(words, SOON).toEqual(['right']);
  const takeBack = page.getByRole('button', { name: 'Take back' });
  await takeBack.focus();
  await page.keyboard.press('Enter');
  await expect.poll(words, SOON).toEqual([]);
  // Whoever goes by keys is still at this finding, though the button is gone.
  await expect.poll(() => right.evaluate((one) => one === document.activeElement), SOON).toBe(true);
}, 60_000);
