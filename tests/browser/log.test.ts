import { expect, test } from 'vitest';
import { AppError } from '../../collector/contract/index.ts';
import { accessibilityFaults, PHONE, SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();
const onPhone = { path: '/log', size: PHONE };

test('a change is logged in a few taps, confirmed in words, and listed', async () => {
  const { page, get } = await show(onPhone);
  await page.getByRole('radio', { name: 'Booth 1 left' }).check();
  await page.getByRole('radio', { name: 'Pump insert' }).check();
  await page.getByRole('radio', { name: 'Replaced' }).check();
  await page.getByRole('radio', { name: 'Worn' }).check();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Log “Booth 1 left: pump insert replaced, found worn”' }).click();
  const done = page.getByRole('status', { name: 'Logged' });
  await done.waitFor();
  expect(await done.textContent()).toContain('Booth 1 left: pump insert replaced, found worn, at 14:32');
  expect(await done.textContent()).toContain('Take it back or put it right in the journal');
  expect(await done.evaluate((element) => element === document.activeElement)).toBe(true);
  await page.getByRole('listitem').filter({ hasText: 'pump insert replaced, found worn' }).waitFor();
  expect((await get('/api/log')).body).toMatchObject([
    {
      gun: 'gun-01',
      part: 'pump-insert',
      action: 'replaced',
      found: 'worn',
      time: expect.stringMatching(/^2026-03-11T13:32:/),
    },
  ]);
  expect(await page.getByRole('radio', { name: 'Booth 1 left' }).isChecked()).toBe(true);
  expect(await page.getByRole('radio', { name: 'Pump insert' }).isChecked()).toBe(false);
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('how a part is checked by hand is at hand, the cautions first', async () => {
  const { page } = await show({ ...onPhone, path: '/log?gun=gun-02&part=pump-insert&action=inspected' });
  await page.getByText('How to check: pump insert').click();
  const help = page.locator('.check-help');
  const text = (await help.textContent()) ?? '';
  expect(text.indexOf('Before you touch anything')).toBeGreaterThan(0);
  expect(text.indexOf('Before you touch anything')).toBeLessThan(text.indexOf('Wear gauge in the pump insert'));
  await help.getByText('the gauge stands off clearly').waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.getByRole('radio', { name: 'Nozzle' }).check();
  await page.getByText('How to check: nozzle').waitFor();
});

test('what is missing is said in one sentence, and nothing is sent', async () => {
  const { page, get } = await show({ ...onPhone, path: '/log?gun=gun-02' });
  await page.getByRole('button', { name: 'Log it' }).click();
  await expect.poll(() => page.getByRole('alert').textContent(), SOON).toBe('Still to say: which part, what was done.');
  expect((await get('/api/log')).body).toEqual([]);
});

test('an address with an unknown gun or part presets nothing', async () => {
  const { page } = await show({ ...onPhone, path: '/log?gun=gun-77&part=engine&action=painted' });
  await page.getByRole('radio', { name: 'Booth 1 left' }).waitFor();
  expect(
    await page.locator('input[name=gun]:checked, input[name=part]:checked, input[name=action]:checked').count(),
  ).toBe(0);
});

test('work of earlier is logged with the plant’s time', async () => {
  const { page, get } = await show({ ...onPhone, path: '/log?gun=gun-02&part=nozzle&action=cleaned' });
  await page.getByRole('radio', { name: 'Earlier' }).check();
  const field = page.getByLabel('Date and time at Hall 2');
  expect(await field.inputValue()).toBe('2026-03-11T14:32');
  await field.fill('2026-03-11T08:15');
  await page.getByLabel('Note, if any').fill('after colour change');
  await page.getByRole('button', { name: /^Log “/ }).click();
  await page.getByRole('status', { name: 'Logged' }).waitFor();
  expect((await get('/api/log')).body).toMatchObject([
    { time: '2026-03-11T07:15:00.000Z', note: 'after colour change' },
  ]);
});

test('a time in the future is refused with the reason, and what was filled in stays', async () => {
  const { page } = await show({ ...onPhone, path: '/log?gun=gun-02&part=nozzle&action=cleaned', expected: /422/ });
  await page.getByRole('radio', { name: 'Earlier' }).check();
  await page.getByLabel('Date and time at Hall 2').fill('2026-03-12T08:15');
  await page.getByRole('button', { name: /^Log “/ }).click();
  await expect.poll(() => page.getByRole('alert').textContent(), SOON).toContain('is in the future');
  expect(await page.getByRole('radio', { name: 'Nozzle' }).isChecked()).toBe(true);
  expect(await accessibilityFaults(page)).toEqual([]);
});

test('a sensor that was exchanged is logged by its channel', async () => {
  const { page, get } = await show(onPhone);
  await page.getByRole('radio', { name: 'Booth 2 left' }).check();
  await page.getByRole('radio', { name: 'A sensor' }).check();
  await page.getByLabel('Which sensor').selectOption({ label: 'Sensor of conveying flow' });
  await page.getByRole('radio', { name: 'Replaced' }).check();
  await page.getByRole('button', { name: /^Log “/ }).click();
  await page.getByRole('status', { name: 'Logged' }).waitFor();
  expect((await get('/api/log')).body).toMatchObject([{ gun: 'gun-04', part: 'sensor:conveying/flow' }]);
});

test('an entry whose answer was lost is sent again and written once', async () => {
  const { page, get } = await show({
    ...onPhone,
    path: '/log?gun=gun-02&part=nozzle&action=cleaned',
    expected: /ERR_FAILED/,
  });
  let times = 0;
  await page.route('**/api/log', async (route) => {
    times += 1;
    if (times > 1) return route.continue();
    await route.fetch();
    await route.abort();
  });
  const button = page.getByRole('button', { name: /^Log “/ });
  await button.click();
  await expect
    .poll(() => page.getByRole('alert').textContent(), SOON)
    .toContain('press again, it is written down once');
  await button.click();
  await page.getByRole('status', { name: 'Logged' }).waitFor();
  expect((await get('/api/log')).body).toHaveLength(1);
});

test('a full disk is said, and the entry goes through when there is room', async () => {
  const { page, get, failNextLog } = await show({
    ...onPhone,
    path: '/log?gun=gun-02&part=nozzle&action=cleaned',
    expected: /507/,
  });
  failNextLog(new AppError('DISK_FULL', 'the entry was not written'));
  const button = page.getByRole('button', { name: /^Log “/ });
  await button.click();
  await expect
    .poll(() => page.getByRole('alert').textContent(), SOON)
    .toBe('Not logged. The disk is full: the entry was not written');
  await button.click();
  await page.getByRole('status', { name: 'Logged' }).waitFor();
  expect((await get('/api/log')).body).toHaveLength(1);
});

test('every target is large enough for a glove: 48 px at least', async () => {
  const { page } = await show(onPhone);
  await page.getByRole('radio', { name: 'Booth 1 left' }).waitFor();
  const boxes = await page.locator('.choice label, .log-form button, .log-form textarea').evaluateAll((all) =>
    all.map((one) => {
      const { width, height } = one.getBoundingClientRect();
      return Math.min(width, height);
    }),
  );
  expect(boxes.length).toBeGreaterThan(25);
  expect(Math.min(...boxes)).toBeGreaterThanOrEqual(48);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
});
