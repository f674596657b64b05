import { expect, test } from 'vitest';
import { consequences } from '../../../analyzer/study/consequences.ts';
import { Settings, type Tunables } from '../../../collector/contract/index.ts';

const HALL = { excessSd: 0.015, sprayHoursPerShift: 3 };

function saidOf(setting: keyof Tunables, change: Partial<Tunables>): string {
  const told = consequences({ ...Settings.parse({}), ...change }, HALL);
  return told.find((one) => one.setting === setting)?.text.replace(/\s/g, ' ') ?? '';
}

test('a ramp of 10 % excess air per 100 spray hours reaches a limit when anybody would reckon that it does', () => {
  expect(saidOf('changeLimitExcessAir', { changeLimitExcessAir: 0.2 })).toContain('reaches the limit after 200 h');
  expect(saidOf('changeLimitExcessAir', { changeLimitExcessAir: 1 })).toContain('reaches the limit after 1000 h');
});

test('the hours until a ramp is seen and those from there to the limit are the hours to the limit', () => {
  const [, seen = '', before = ''] =
    /seen after about (\d+) h, (\d+) h before the limit/.exec(
      saidOf('smallestChange', { changeLimitExcessAir: 0.2 }),
    ) ?? [];
  expect(Math.abs(Number(seen) + Number(before) - 200)).toBeLessThanOrEqual(1);
});

test('what the notice comes to is the shifts times the hours of a shift, as they are shown', () => {
  const said = consequences({ ...Settings.parse({}), leadTimeShifts: 3 }, { ...HALL, sprayHoursPerShift: 2.67 });
  expect(said.find(({ setting }) => setting === 'leadTimeShifts')?.text.replace(/\s/g, ' ')).toContain(
    'that is 8 h at the hall’s usual 2.7 h a shift',
  );
});
