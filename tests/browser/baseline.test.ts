import { expect, test } from 'vitest';
import type { BaselineAnswer, NeedAt, PowderBaseline, TaughtPoint } from '../../analyzer/index.ts';
import { baselineDesk } from '../../dashboard/service/baseline-desk.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';
import { accessibilityFaults, PHONE, screensOfHall } from './screens.ts';
import { silentChange } from './silent-change.ts';

const show = screensOfHall();
const WIDE = { width: 1440, height: 1400 };

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
  const { made, sources } = silentChange();
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
