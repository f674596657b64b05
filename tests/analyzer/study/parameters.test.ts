import { describe, expect, test } from 'vitest';
import { parameters } from '../../../analyzer/study/parameters.ts';
import { Settings } from '../../../collector/contract/index.ts';

const HALL = { excessSd: 0.02, sprayHoursPerShift: 2 };
const of = (settings: object, gun: string | null = null) => parameters(Settings.parse(settings), gun, HALL);
const value = (rows: ReturnType<typeof of>, name: RegExp): number => rows.find((one) => name.test(one.name))!.value;

describe('the statistics behind the settings', () => {
  test('each says what it is, in which unit, and where it comes from', () => {
    for (const one of of({})) {
      expect(Number.isFinite(one.value), one.name).toBe(true);
      expect(one.what.length, one.name).toBeGreaterThan(10);
      expect(one.source.length, one.name).toBeGreaterThan(5);
    }
    expect(new Set(of({}).map(({ name }) => name)).size).toBe(of({}).length);
  });

  test('the budgets of a gun add up to what is accepted', () => {
    const budgets = of({ falseAlarmsPerGunYear: 0.8 }).filter(({ name }) => name.startsWith('Budget of'));
    expect(budgets.reduce((sum, one) => sum + one.value, 0)).toBeCloseTo(0.8, 10);
  });

  test('limits rise as fewer false findings are accepted, and the fixed ones stay', () => {
    const [strict, loose] = [of({ falseAlarmsPerGunYear: 0.1 }), of({ falseAlarmsPerGunYear: 2 })];
    for (const name of [/ramp, pump insert/, /ramp, air lines/, /CUSUM/, /likelihood ratio/, /run length/])
      expect(value(strict, name), String(name)).toBeGreaterThan(value(loose, name));
    const fixed = (rows: typeof strict) => rows.filter(({ follows }) => !follows);
    expect(fixed(strict)).toEqual(fixed(loose));
  });

  test("are a gun's own where it has other values", () => {
    const settings = { overrides: [{ gun: 'gun-03', changeLimitExcessAir: 0.1 }] };
    expect(value(of(settings), /has to be passed/)).toBeCloseTo(10, 10);
    expect(value(of(settings, 'gun-03'), /has to be passed/)).toBeCloseTo(5, 10);
  });
});
