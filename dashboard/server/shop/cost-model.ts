import { z } from 'zod';
import { CostFigures, Losses } from '../../../analyzer/index.ts';

const known = z.number().nullable();

const CostRow = z.strictObject({
  sprayHours: z.number(),
  judgedHours: z.number().meta({ description: 'Spray hours whose excess air is known' }),
  excessAirM3: known.meta({ description: 'Conveying air over a new insert’s need, m3 at 0 °C and 1013.25 hPa' }),
  energyKwh: known,
  airMoney: known,
  early: z.number().int(),
  earlyMoney: known,
  late: z.number().int(),
  lateMoney: known,
  powderKilograms: known,
  powderMoney: known,
  rejects: known,
  rejectMoney: known,
  money: known,
});

export const MonthCostRow = CostRow.extend({ month: z.string(), gun: z.string() }).meta({ id: 'MonthCost' });
export type MonthCostRow = z.infer<typeof MonthCostRow>;

export const CostAnswer = z
  .strictObject({
    from: z.string(),
    to: z.string(),
    currency: z.string(),
    specificEnergy: z.strictObject({ value: z.number(), source: z.string() }),
    says: z.string(),
    rows: z.array(MonthCostRow),
    total: CostRow,
  })
  .meta({ id: 'CostOfWear' });
export type CostAnswer = z.infer<typeof CostAnswer>;

export const StatedCosts = z
  .strictObject({
    version: z.number().int(),
    who: z.string(),
    at: z.iso.datetime().nullable(),
    figures: CostFigures,
    specificEnergySource: z.string(),
  })
  .meta({ id: 'StatedCosts' });
export type StatedCosts = z.infer<typeof StatedCosts>;

export const StatedLosses = z
  .strictObject({ month: z.string(), gun: z.string(), version: z.number().int(), who: z.string(), losses: Losses })
  .meta({ id: 'StatedLosses' });
export type StatedLosses = z.infer<typeof StatedLosses>;

export const MONTH = /^\d{4}-(0[1-9]|1[0-2])$/;
