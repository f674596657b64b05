import { describe, expect, it } from 'vitest';
import { CostFigures, Losses } from '../../../analyzer/cost/cost-figures.ts';
import { excessByMonth } from '../../../analyzer/cost/excess-volume.ts';
import { airIsSmall, monthCost, totalCost } from '../../../analyzer/cost/month-cost.ts';
import { meanResidual, timeliness } from '../../../analyzer/cost/timeliness.ts';
import type { PartLife } from '../../../analyzer/life/part-lives.ts';
import { useHours } from '../../../analyzer/life/use-hours.ts';
import { RUN_FIELDS, type RunTable } from '../../../collector/contract/runs.ts';

const HOUR = 3_600_000;

function runs(rows: readonly Partial<Record<(typeof RUN_FIELDS)[number], number>>[]): RunTable {
  const columns = Object.fromEntries(
    RUN_FIELDS.map((field) => [field, Float64Array.from(rows, (row) => row[field] ?? Number.NaN)]),
  ) as RunTable['columns'];
  return { gun: 'gun-01', length: rows.length, columns, powders: ['p'] };
}

const need = { powder: 'p', usualOutput: 150, neededAir: 2, elasticity: 1.5 };
const month = (time: number): string => new Date(time).toISOString().slice(0, 7);
const run = (start: number, flow: number, output = 150, powder = 0) => ({
  start,
  sprayMs: HOUR,
  conveyingFlow: flow,
  output,
  powder,
});

describe('excess air', () => {
  it('is what was taken over a new insert’s need, by month', () => {
    const told = excessByMonth(runs([run(0, 2.3), run(HOUR, 2.2), run(40 * 24 * HOUR, 2)]), [need], [], month);
    expect(told).toEqual([
      { month: '1970-01', sprayHours: 2, judgedHours: 2, excessM3: expect.closeTo(0.5, 12) },
      { month: '1970-02', sprayHours: 1, judgedHours: 1, excessM3: 0 },
    ]);
  });

  it('grants more output the air that its curve asks for', () => {
    const [told] = excessByMonth(runs([run(0, 2 * 1.2 ** (1 / 1.5), 180)]), [need], [], month);
    expect(told!.excessM3).toBeCloseTo(0, 12);
  });

  it('is not judged where the powder’s need, the flow or the sensor is not to be had', () => {
    const table = runs([run(0, 2.5, 150, -1), run(HOUR, Number.NaN), run(2 * HOUR, 9), run(3 * HOUR, 2.1)]);
    const [told] = excessByMonth(table, [need], [{ from: 2 * HOUR, to: 3 * HOUR }], month);
    expect(told).toEqual({ month: '1970-01', sprayHours: 4, judgedHours: 1, excessM3: expect.closeTo(0.1, 12) });
  });
});

describe('use by the hour', () => {
  it('sums spray hours and kilograms by powder, and notes what was not weighed', () => {
    const table = runs([
      { ...run(0, 2), sprayMs: HOUR / 4 },
      { ...run(HOUR / 2, 2), sprayMs: HOUR / 4 },
      { start: HOUR, sprayMs: HOUR / 2, powder: -1, massStart: 20, massEnd: 17 },
      { start: 1.6 * HOUR, sprayMs: HOUR / 4, powder: -1 },
    ]);
    expect(useHours(table)).toEqual([
      { time: 0, powder: 'p', sprayHours: 0.5, kilograms: 4.5, unweighed: 0 },
      { time: HOUR, powder: '', sprayHours: 0.75, kilograms: 3, unweighed: 0.25 },
    ]);
  });
});

describe('changes too early and too late', () => {
  const life = (end: PartLife['end'], sprayHours = 20): PartLife => ({
    gun: 'gun-01',
    part: 'pump-insert',
    from: 0,
    to: 1,
    end,
    sprayHours,
    kilograms: null,
    family: 'smooth',
  });

  it('cost the unserved share of a good part, and the dearer change of a failed one', () => {
    // An exponential life has the same mean ahead at any age: 20 of 20 + 60 hours served.
    expect(
      timeliness(
        [life('good'), life('failed'), life('worn')],
        { shape: 1, scale: 60 },
        { piece: 8, planned: 20, unplanned: 95 },
      ),
    ).toEqual({
      early: 1,
      earlyMoney: expect.closeTo(6, 9),
      late: 1,
      lateMoney: 75,
    });
  });

  it('are counted and not priced where life or price is not known', () => {
    expect(timeliness([life('good'), life('failed')], null, undefined)).toEqual({
      early: 1,
      earlyMoney: null,
      late: 1,
      lateMoney: null,
    });
  });

  it('reckon with the mean that is left: the integral of the survival curve', () => {
    const survival = (t: number): number => Math.exp(-((t / 50) ** 2.5));
    let area = 0;
    for (let t = 40; t < 300; t += 0.01) area += survival(t + 0.005) * 0.01;
    expect(meanResidual({ shape: 2.5, scale: 50 }, 40)).toBeCloseTo(area / survival(40), 4);
  });
});

describe('the cost of a month', () => {
  const air = { month: '2026-03', sprayHours: 60, judgedHours: 50, excessM3: 25 };
  const quiet = { early: 0, earlyMoney: 0, late: 0, lateMoney: 0 };

  it('is energy by the default of 0.12 kWh for a normal cubic metre, and the shop’s prices', () => {
    const figures = CostFigures.parse({ energyPrice: 0.2, powderPrice: 5, rejectCost: 12 });
    const losses = Losses.parse({ powderKilograms: 30, rejects: 4 });
    expect(monthCost('gun-01', air, { ...quiet, late: 1, lateMoney: 75 }, losses, figures)).toMatchObject({
      excessAirM3: 25,
      energyKwh: 3,
      airMoney: expect.closeTo(0.6, 12),
      powderMoney: 150,
      rejectMoney: 48,
      money: expect.closeTo(273.6, 9),
    });
  });

  it('leaves open what the shop has not stated, and counts noise as nothing', () => {
    const row = monthCost('gun-01', { ...air, excessM3: -2 }, quiet, null, CostFigures.parse({}));
    expect(row).toMatchObject({ excessAirM3: 0, airMoney: null, powderMoney: null, money: null });
    expect(monthCost('gun-01', { ...air, judgedHours: 0 }, quiet, null, CostFigures.parse({})).excessAirM3).toBeNull();
    expect(totalCost([row])).toMatchObject({ money: null, sprayHours: 60 });
  });

  it('says that the air is the small part', () => {
    expect(airIsSmall({ airMoney: 0.6, money: 273.6 })).toContain('Here it is less than 1 % of what has a price');
    expect(airIsSmall({ airMoney: 0.6, money: 0.6 })).toContain('They are not in these figures yet');
    expect(airIsSmall({ airMoney: null, money: null })).toContain('needs a price of energy');
  });
});
