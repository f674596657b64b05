import { z } from 'zod';
import { StockItem } from '../../../analyzer/index.ts';
import { PART_IDS } from '../../../collector/contract/index.ts';

const Count = z.number().int().min(0).max(100_000);

/** One part on the shelf of the site. */
export const StockLine = z
  .strictObject({
    part: z.enum(PART_IDS),
    item: StockItem,
    version: z
      .number()
      .int()
      .meta({ description: 'Version of `item` to send back with a change; 0 while nothing was stated' }),
    onHand: z
      .number()
      .int()
      .nullable()
      .meta({ description: 'Pieces on the shelf; null before the first count or delivery' }),
    shortage: Count.meta({ description: 'Pieces that were used and not there; a count ends it' }),
    onOrder: Count,
    countedAt: z.iso.datetime().nullable(),
    usedSinceCount: Count,
    expected: z.number().meta({ description: 'Changes expected over the lead time' }),
    reorderPoint: Count.meta({
      description: 'Stock at which to order: covers the lead time with the chosen probability',
    }),
    orderUpTo: Count.meta({ description: 'The same over the lead time and the days that an order is to last' }),
    order: Count.meta({ description: 'How many to order now; 0 for none' }),
    short: z
      .string()
      .nullable()
      .meta({ description: 'Why a change cannot be made from the shelf now; null where it can, or no stock is kept' }),
    says: z.string().meta({ description: 'Where the demand comes from, and what is not known' }),
  })
  .meta({ id: 'StockLine' });
export type StockLine = z.infer<typeof StockLine>;

export const StockMoveBody = z
  .strictObject({
    part: z.enum(PART_IDS),
    kind: z.enum(['counted', 'delivered', 'taken', 'ordered']).meta({
      description:
        'counted: so many are there; delivered, taken: so many came or went beside changes; ordered: so many are on order in all',
    }),
    quantity: Count,
    time: z
      .string()
      .max(40)
      .optional()
      .meta({ description: 'When, ISO 8601 with offset or Unix seconds; default now' }),
    note: z.string().max(500).default(''),
  })
  .meta({ id: 'StockMoveBody' });
export type StockMoveBody = z.infer<typeof StockMoveBody>;

/** A line of the shelf's ledger, or a change of a part that took from the shelf. */
export const StockStep = z
  .strictObject({
    id: z.number().int().nullable().meta({ description: 'Of the ledger; null for a change, which stands in the log' }),
    time: z.iso.datetime(),
    part: z.enum(PART_IDS),
    kind: z.enum(['counted', 'delivered', 'taken', 'ordered', 'used']),
    quantity: z.number().int(),
    gun: z.string().nullable(),
    note: z.string(),
    who: z.string(),
    undone: z.strictObject({ at: z.iso.datetime(), who: z.string() }).nullable(),
  })
  .meta({ id: 'StockStep' });
export type StockStep = z.infer<typeof StockStep>;

/** A part of which a change cannot be made from the shelf now. */
export const PartShortage = z.strictObject({ part: z.enum(PART_IDS), says: z.string() }).meta({ id: 'PartShortage' });
export type PartShortage = z.infer<typeof PartShortage>;
