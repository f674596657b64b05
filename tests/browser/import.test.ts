import { expect, onTestFinished, test } from 'vitest';
import { ImportDesk, openStore } from '../../collector/index.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { hall } from '../dashboard/hall.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { accessibilityFaults, PHONE, screensOfHall } from './screens.ts';

const show = screensOfHall();
const LOGGER = ['Zeit;Druck [mbar];Trigger', '02.03.2026 06:00:00;1526,9;1', '02.03.2026 06:00:10;abc;1'].join('\n');

test('import: columns are offered from the headings, the first rows show what they become, a dry run stores nothing, and who comes back goes on', async () => {
  const dir = tempDir();
  const store = openStore(dir, { create: true });
  const { sources } = hall();
  const imports = new ImportDesk({
    ...{ dir, store, plant: sources.plant, now: () => NOON, maxFileBytes: 100_000, maxPieceBytes: 40 },
  });
  onTestFinished(async () => {
    await imports.stop();
    store.close();
  });
  const { page } = await show({ path: '/import', size: PHONE, server: { sources: { ...sources, imports } } });
  // Before a file is there the page says what one has to hold.
  await page.getByText('A time, in one column').waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(PHONE.width);
  const file = { name: 'gun-01 logger.csv', mimeType: 'text/csv', buffer: Buffer.from(LOGGER) };
  await page.getByLabel('File', { exact: true }).setInputFiles(file);
  await page.getByLabel('What Druck [mbar] measures').waitFor();
  expect(await page.getByLabel('Unit of Druck [mbar]').inputValue()).toBe('hPa');
  await page.clock.runFor(1000);
  await page.getByText('conveying pressure 1.527').waitFor();
  await page.getByText('conveying pressure: not a number').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(PHONE.width);

  await page.getByLabel('What Druck [mbar] measures').selectOption('');
  await page.getByLabel('What Trigger measures').selectOption('');
  await page.getByText('Still to say: what at least one column measures.').waitFor();
  expect(await page.getByRole('button', { name: 'Dry run' }).isDisabled()).toBe(true);
  await page.getByLabel('What Trigger measures').selectOption('trigger');
  await page.clock.runFor(1000);
  await page.getByRole('button', { name: 'Dry run' }).click();
  await expect
    .poll(
      async () => {
        await page.clock.runFor(600);
        return page.getByText('Dry run, nothing was stored: 2 readings of 2 rows; nothing was refused.').count();
      },
      { timeout: 40_000, interval: 300 },
    )
    .toBe(1);
  expect(store.readings.stations()).toEqual([]);
  // Whoever goes by keys is still there, though the button rested meanwhile; and nobody has to look for how far it is.
  const run = page.getByRole('region', { name: 'Dry run and import' });
  expect(await run.evaluate((one) => one === document.activeElement)).toBe(true);

  // A decimal mark that no number decides is asked for, in one place, before anything is read.
  const either = Buffer.from('Zeit;Druck [mbar]\n02.03.2026 06:00:00;1.526\n');
  await page.getByLabel('File', { exact: true }).setInputFiles({ ...file, name: 'gun-01 either.csv', buffer: either });
  await page.getByText('“1.526” may be read either way.').waitFor();
  expect(await page.getByRole('button', { name: 'Dry run' }).isDisabled()).toBe(true);
  await page.getByLabel('Decimals, where “1.526”').selectOption(',');
  await page.clock.runFor(1000);
  await page.getByText('conveying pressure 1.526').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);

  // Who comes back finds the file read as it was, not as its headings seem to say.
  await page.reload();
  await page.getByRole('button', { name: 'Open gun-01 logger.csv' }).click();
  await expect.poll(() => page.getByLabel('What Trigger measures').inputValue()).toBe('trigger');
  expect(await page.getByLabel('What Druck [mbar] measures').inputValue()).toBe('');
  // It stands above the list: who opened it there is led to it.
  expect(await page.evaluate(() => document.activeElement?.textContent)).toMatch(/^gun-01 logger\.csv/);
}, 90_000);
