import process from 'node:process';
import { type Command, InvalidArgumentError, Option } from 'commander';
import { StockItem } from '../analyzer/index.ts';
import { AppError, PART_IDS, type PartId } from '../collector/contract/index.ts';
import { valueFaults } from '../collector/index.ts';
import { reorderCsv, type ShopSource, shelfCsv, withShop } from '../dashboard/index.ts';
import { countArgument, nonNegativeArgument, wholeArgument } from './arguments.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { whoRuns } from './who-runs.ts';

const KINDS = { count: 'counted', deliver: 'delivered', take: 'taken', order: 'ordered' } as const;
const SAYS = {
  count: 'State how many there are on the shelf.',
  deliver: 'Write down a delivery.',
  take: 'Write down what was taken beside changes of parts.',
  order: 'State how many are on order in all.',
} as const;

interface Move {
  data: string;
  part: PartId;
  quantity: number;
  note?: string;
  time?: string;
}

interface Item {
  data: string;
  part: PartId;
  orderNumber?: string;
  supplier?: string;
  leadDays?: number;
  serviceLevel?: number;
  perChange?: number;
  coverDays?: number;
  note?: string;
}

const dataOption = (one: Command): Command => one.requiredOption('--data <dir>', 'data folder of the service');
const partOption = (one: Command): Command =>
  one.addOption(new Option('--part <id>', 'part').choices(PART_IDS).makeOptionMandatory());

export function addStock(program: Command): void {
  const stock = command(program, 'stock', 'Parts on the shelf; also while the service runs.');
  dataOption(command(stock, 'list', 'Print the shelf as CSV.')).action(async ({ data }: { data: string }) =>
    withShop(data, Date.now(), (shop) => print(shelfCsv(shop.stock()))),
  );
  dataOption(command(stock, 'reorder', 'Print what to order as CSV.')).action(async ({ data }: { data: string }) =>
    withShop(data, Date.now(), (shop) => print(reorderCsv(shop.stock()))),
  );
  for (const word of Object.keys(KINDS) as (keyof typeof KINDS)[])
    audited(partOption(dataOption(command(stock, word, SAYS[word]))))
      .requiredOption('--quantity <n>', 'pieces', wholeArgument)
      .option('--time <time>', 'when, ISO 8601 with offset; default now')
      .option('--note <text>', 'anything else')
      .action(async ({ data, part, quantity, time, note }: Move) => {
        if (quantity < 0) throw new InvalidArgumentError('--quantity: expected 0 or more.');
        await withShop(data, Date.now(), (shop) => {
          const move = { part, kind: KINDS[word], quantity, note: note ?? '', ...(time === undefined ? {} : { time }) };
          shop.move(move, { who: whoRuns() });
          told(shop, part);
        });
      });
  audited(partOption(dataOption(command(stock, 'item', 'State how a part is kept; what is not given stays as it is.'))))
    .option('--order-number <text>', 'your own order number')
    .option('--supplier <text>', 'your own supplier')
    .option('--lead-days <n>', 'days from order to shelf', nonNegativeArgument)
    .option('--service-level <share>', 'probability of not running out, 0.5 to 0.999', nonNegativeArgument)
    .option('--per-change <n>', 'pieces that one change takes', countArgument)
    .option('--cover-days <n>', 'days that an order is to last beyond the lead time', nonNegativeArgument)
    .option('--note <text>', 'anything else')
    .action(async ({ data, part, ...given }: Item) =>
      withShop(data, Date.now(), (shop) => {
        const before = lineOf(shop, part);
        const { orderNumber, supplier, leadDays: leadTimeDays, serviceLevel, perChange, coverDays, note } = given;
        const fields = { orderNumber, supplier, leadTimeDays, serviceLevel, perChange, coverDays, note };
        const item = {
          ...before.item,
          ...Object.fromEntries(Object.entries(fields).filter(([, one]) => one !== undefined)),
        };
        const checked = StockItem.safeParse(item);
        if (!checked.success) throw new AppError('USAGE', valueFaults(checked.error, item, StockItem).join('; '));
        shop.stateItem(part, checked.data, { who: whoRuns(), seen: before.version });
        told(shop, part);
      }),
    );
  audited(dataOption(command(stock, 'undo', 'Take a line of the ledger back; it stays on record.')))
    .requiredOption('--line <n>', 'number of the line', countArgument)
    .action(async ({ data, line }: { data: string; line: number }) =>
      withShop(data, Date.now(), (shop) => told(shop, shop.undoMove(line, whoRuns()).part)),
    );
}

const lineOf = (shop: ShopSource, part: PartId) => shop.stock().find((line) => line.part === part)!;

function told(shop: ShopSource, part: PartId): void {
  const { onHand, shortage, onOrder, reorderPoint } = lineOf(shop, part);
  const there = onHand === null ? 'no stock kept yet' : `${onHand} on the shelf`;
  const short = shortage > 0 ? `, ${shortage} used that were not there` : '';
  process.stderr.write(`${part}: ${there}${short}, ${onOrder} on order, order at ${reorderPoint}\n`);
}

async function print(text: string): Promise<void> {
  await out.write(text);
}
