import { z } from 'zod';
import { PART_IDS } from '../../collector/contract/index.ts';

const Money = z.number().min(0).max(1e9);

/**
 * Electric energy for a normal cubic metre of air at about 7 bar.
 * Source: common practice. Data sheets of screw compressors at 7 bar state 5.5 to 7 kW per m3/min of inlet air at full load, 0.09 to
 * 0.12 kWh/m3 and 7 to 9 % more for a normal cubic metre; part load, drying and leaks come on top.
 */
export const USUAL_SPECIFIC_ENERGY = 0.12;
export const SPECIFIC_ENERGY_SOURCE =
  'Common practice: screw compressors at 7 bar take 0.09 to 0.12 kWh per m³ of inlet air at full load by their data sheets; part load, drying and leaks come on top. Set your own where it is measured.';

/** What one change of a part costs the shop, with all that belongs to it. */
const PartCosts = z.strictObject({
  piece: Money.nullable().default(null).meta({ description: 'Price of the part or set' }),
  planned: Money.nullable()
    .default(null)
    .meta({ description: 'One change in time: part, work and the stop that was due anyway' }),
  unplanned: Money.nullable()
    .default(null)
    .meta({ description: 'One change after a failure: part, work, standing line, rework' }),
});
export type PartCosts = z.infer<typeof PartCosts>;

/** The shop's own figures. Nothing is filled in for it but the energy of air. */
export const CostFigures = z.strictObject({
  currency: z.string().trim().max(12).default('').meta({ description: 'ISO 4217 code or any text of the shop’s own' }),
  energyPrice: Money.nullable().default(null).meta({ description: 'Price of electric energy', unit: '1/kWh' }),
  specificEnergy: z
    .number()
    .positive()
    .max(2)
    .default(USUAL_SPECIFIC_ENERGY)
    .meta({ description: 'Electric energy for a normal cubic metre of air', unit: 'kWh/m3' }),
  powderPrice: Money.nullable().default(null).meta({ description: 'Price of powder', unit: '1/kg' }),
  rejectCost: Money.nullable().default(null).meta({ description: 'Cost of one rejected piece' }),
  parts: z.partialRecord(z.enum(PART_IDS), PartCosts).default({}),
});
export type CostFigures = z.infer<typeof CostFigures>;

/** Powder and rejects that the shop puts down to a gun in a month. */
export const Losses = z.strictObject({
  powderKilograms: z.number().min(0).max(1e6).nullable().default(null),
  rejects: z.number().int().min(0).max(1e6).nullable().default(null),
  note: z.string().max(500).default(''),
});
export type Losses = z.infer<typeof Losses>;
