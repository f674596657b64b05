import { z } from 'zod';

/** How the shop keeps one part on its shelf. Order number and supplier are its own words; nothing is filled in for it. */
export const StockItem = z.strictObject({
  orderNumber: z.string().trim().max(120).default('').meta({ description: 'The shop’s own free text' }),
  supplier: z.string().trim().max(120).default('').meta({ description: 'The shop’s own free text' }),
  note: z.string().trim().max(500).default(''),
  /** Source: own choice, because two weeks is what a shop waits for a part from far away. */
  leadTimeDays: z.number().min(0).max(365).default(14).meta({ description: 'From order to shelf', unit: 'd' }),
  /** Source: own choice, because one order in twenty may come too late for a part that can be changed a shift later. */
  serviceLevel: z
    .number()
    .min(0.5)
    .max(0.999)
    .default(0.95)
    .meta({ description: 'Probability of not running out before an order comes' }),
  perChange: z.number().int().min(1).max(100).default(1).meta({ description: 'Pieces or sets that one change takes' }),
  /** Source: own choice, because a month is how often a shop orders. */
  coverDays: z
    .number()
    .min(0)
    .max(730)
    .default(30)
    .meta({ description: 'How long an order is to last beyond the lead time', unit: 'd' }),
});
export type StockItem = z.infer<typeof StockItem>;
