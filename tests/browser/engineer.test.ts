import { expect, test } from 'vitest';
import type { BaselineAnswer, NeedAt, PowderBaseline, TaughtPoint } from '../../analyzer/index.ts';
import { RUN_FIELDS, type RunTable } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import { baselineDesk } from '../../dashboard/service/baseline-desk.ts';
import { PromiseDesk } from '../../dashboard/service/promise-desk.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();
const WIDE = { width: 1440, height: 1400 };
const MINUTE_MS = 60_000;

/** Two days of runs up to noon, a run each ten minutes. */
function sprayed(store: Store): void {
  const starts = Array.from({ length: 288 }, (_, index) => NOON - (288 - index) * 10 * MINUTE_MS);
  const given: Partial<Record<string, number>> = {
    sprayMs: MINUTE_MS,
    samples: 20,
    powder: 0,
    output: 180,
    conveyingFlow: 3.3,
  };
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [
      field,
      Float64Array.from(starts, (start) =>
        field === 'start' ? start : field === 'end' ? start + MINUTE_MS : (given[field] ?? Number.NaN),
      ),
    ]),
  ) as RunTable['columns'];
  store.runs.replace('gun-01', 0, { gun: 'gun-01', length: starts.length, columns, powders: ['p-white'] });
}

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
  await page.clock.runFor(1000);
  await page.getByText('What follows: a ramp of 10 %').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);

  await smallest.fill('300');
  await page.getByText('expected a number from 1 to 50').waitFor();
  expect(await page.getByRole('heading', { name: 'Adopt' }).count()).toBe(0);
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
  sprayed(made.store);
  // Its thread starts with the first question; a page has no more patience than a person.
  await made.sources.histories!.parquet('gun-01', 0, 1);
  const from = new Date(NOON - 86_400_000).toISOString();
  const path = `/history?gun=gun-01&from=${from}&to=${new Date(NOON).toISOString()}`;
  const { page } = await show({ path, size: WIDE, server: { sources: made.sources } });
  await page.getByText('Conveying air').first().waitFor();
  expect(await page.locator('figure canvas').count()).toBeGreaterThanOrEqual(2);
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
  await page.getByText('What happened, as a list').click();
  await page.getByText(/Powder: p-white$/).waitFor();
  await page.getByRole('combobox').first().selectOption('gun-02');
  await page.getByText('has sent nothing yet').waitFor();
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
}, 60_000);

/** A made-up baseline of two powders: air goes with the output to the power of 0.6. */
function madeUpBaseline(): BaselineAnswer {
  const need = (output: number, factor: number): NeedAt => {
    const air = factor * 2 * (output / 150) ** 0.6;
    return { output, air, low: air * 0.95, high: air * 1.05 };
  };
  const powder = (name: string, factor: number, inUse: boolean): PowderBaseline => ({
    ...{ powder: name, inUse, runs: inUse ? 300 : 20, runsNeeded: 60, beside: factor - 1 },
    ...{ usual: need(150, factor), atGunsUsual: need(150, factor) },
    curve: [100, 125, 150, 175, 200].map((output) => need(output, factor)),
  });
  const point = (index: number, kind: TaughtPoint['kind'], why = ''): TaughtPoint => ({
    ...{ from: NOON - index * 3_600_000, to: NOON - index * 3_600_000 + 600_000, powder: 'p-white' },
    ...{ air: 2, output: 140 + index, runs: 20, minutes: 8, kind, why },
  });
  return {
    ...{ gun: 'gun-01', asOf: NOON, from: NOON - 5 * 86_400_000, learntAnew: false, lacking: null, insertSince: null },
    powders: [powder('p-white', 1, true), powder('p-sand', 1.1, false)],
    besideSite: { share: 0.04, low: -0.03, high: 0.11 },
    borrowed: { level: 0.8, slope: 0.4, from: ['gun-02'] },
    points: [point(9, 'taught'), point(5, 'later'), point(4, 'left-out', 'trial')],
    counted: { taught: 1, later: 1, leftOut: 1 },
    doubt: { kind: 'unknown-start', sentence: 'The insert was probably worn.' },
  };
}

test('baseline: curve, slider and tables of the same numbers; learning anew asks for date and reason', async () => {
  const made = deskSources();
  const baselines = baselineDesk({
    ...{ store: made.store, plant: made.sources.plant, source: 'api', now: () => NOON },
    ...{ views: made.sources.views, changed: () => undefined },
  });
  const histories = { ...made.sources.histories!, baseline: () => Promise.resolve(madeUpBaseline()) };
  const { page } = await show({
    ...{ path: '/baseline?gun=gun-01', size: WIDE, expected: /422/ },
    server: { sources: { ...made.sources, baselines, histories } },
  });
  await page.getByText('May have learnt wear as normal.').waitFor();
  await page.getByRole('cell', { name: '2.20 (2.09 to 2.31)' }).first().waitFor();
  await page.getByText('mostly borrowed from the other guns').waitFor();
  expect(await page.locator('canvas').count()).toBe(1);
  expect(await accessibilityFaults(page)).toEqual([]);
  const slider = page.getByRole('slider');
  await slider.focus();
  await page.keyboard.press('End');
  await page.getByText('Read at 200 g/min').waitFor();
  await page.getByText(`p-white: ${(2 * (200 / 150) ** 0.6).toFixed(2)}`).waitFor();
  await page.getByText('Runs left out: 20 runs in 1 block').click();
  await page.getByRole('cell', { name: 'trial' }).waitFor();

  const learn = page.getByRole('button', { name: 'Learn anew' });
  expect(await learn.isDisabled()).toBe(true);
  await page.getByLabel('From').fill('2026-03-01T08:00');
  await page.getByLabel('Reason').fill('another pump');
  await learn.click();
  await page.getByText('gun-01 has no readings yet').waitFor();
  expect(made.store.baselines.relearnings()).toEqual([]);
}, 60_000);

test('a change that nobody logged is confirmed, taken back and dismissed on the gun’s page, on a phone', async () => {
  const made = deskSources();
  const change = {
    ...{ part: 'pump-insert', time: NOON - 86_400_000, noticed: NOON - 80_000_000 },
    ...{ before: 0.19, after: 0.01, sd: 0.02, sprayHours: 52, counted: true },
  };
  const views = made.sources
    .views()
    .map((view) => (view.id === 'gun-01' ? { ...view, silentChanges: [change] } : view));
  const baselines = baselineDesk({
    ...{ store: made.store, plant: made.sources.plant, source: 'api', now: () => NOON },
    ...{ views: () => views, changed: () => undefined },
  });
  const sources = { ...made.sources, views: () => views, baselines };
  const { page } = await show({ path: '/guns/gun-01', size: PHONE, server: { sources } });
  await page.getByText('excess air fell at once from').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  const logged = (): unknown[] => made.store.log.list({ gun: 'gun-01' }).map(({ part, found }) => [part, found]);
  await page.getByLabel('Old part was').selectOption('worn');
  await page.getByRole('button', { name: 'It was changed: log it' }).click();
  await page.getByText('Logged: Pump insert replaced').waitFor();
  expect(logged()).toEqual([['pump-insert', 'worn']]);
  made.store.log.correct(made.store.log.lastId(), {
    ...{ recordedAt: NOON, source: 'api', why: '' },
    replacement: null,
  });
  await page.reload();
  await page.getByLabel('Why not').fill('only cleaned');
  await page.getByRole('button', { name: 'There was no change' }).click();
  await page.getByText('dismissed by local, only cleaned').waitFor();
  await page.getByRole('button', { name: 'Take back' }).click();
  await page.getByRole('button', { name: 'It was changed: log it' }).waitFor();
  expect(made.store.baselines.dismissals()).toEqual([]);
}, 60_000);
