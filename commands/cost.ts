import { readFile } from 'node:fs/promises';
import process from 'node:process';
import { type Command, InvalidArgumentError } from 'commander';
import { parse } from 'yaml';
import type { z } from 'zod';
import { CostFigures, Losses } from '../analyzer/index.ts';
import { AppError } from '../collector/contract/index.ts';
import { valueFaults } from '../collector/index.ts';
import { costCsv, presentMonths, withShop } from '../dashboard/index.ts';
import { nonNegativeArgument, wholeArgument } from './arguments.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { tellMissing } from './tell-missing.ts';
import { whoRuns } from './who-runs.ts';

const monthArgument = (text: string): string => {
  if (!/^\d{4}-(0[1-9]|1[0-2])$/.test(text)) throw new InvalidArgumentError('expected a month, YYYY-MM.');
  return text;
};

interface CostFlags {
  data: string;
  from?: string;
  to?: string;
  json?: boolean;
}

interface LossFlags {
  data: string;
  month: string;
  gun: string;
  powder?: number;
  rejects?: number;
  note?: string;
}

export function addCost(program: Command): void {
  const cost = command(program, 'cost', 'What wear costs, by gun and month; also while the service runs.');
  command(cost, 'list', 'Print it as CSV: excess air, changes too early and too late, powder and rejects.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--from <month>', 'first month, YYYY-MM; default three before the last', monthArgument)
    .option('--to <month>', 'last month; default the present one', monthArgument)
    .option('--json', 'as JSON')
    .action(async ({ data, from, to, json }: CostFlags) =>
      withShop(data, Date.now(), async (shop, plant, missing) => {
        const told = await shop.costs(presentMonths(plant, Date.now(), { from, to }));
        await out.write(json ? `${JSON.stringify(told, null, 2)}\n` : costCsv(told));
        process.stderr.write(`${told.says}\n`);
        tellMissing(missing());
      }),
    );
  const figures = command(
    cost,
    'figures',
    'Print the shop’s own figures, or state new ones from a file (YAML or JSON).',
  );
  audited(figures, ({ set }) => set !== undefined)
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--set <file>', 'currency, energyPrice, specificEnergy, powderPrice, rejectCost, parts')
    .action(async ({ data, set }: { data: string; set?: string }) => {
      const stated = set === undefined ? null : await fromFile(set, CostFigures);
      await withShop(data, Date.now(), async (shop) => {
        const before = shop.costFigures();
        const now = stated === null ? before : shop.stateCosts(stated, { who: whoRuns(), seen: before.version });
        await out.write(`${JSON.stringify(now, null, 2)}\n`);
      });
    });
  audited(command(cost, 'losses', 'State powder and rejects that you put down to a gun in a month.'))
    .requiredOption('--data <dir>', 'data folder of the service')
    .requiredOption('--month <month>', 'month, YYYY-MM', monthArgument)
    .requiredOption('--gun <id>', 'gun')
    .option('--powder <kg>', 'powder lost, kg', nonNegativeArgument)
    .option('--rejects <n>', 'rejected pieces', wholeArgument)
    .option('--note <text>', 'anything else')
    .action(async ({ data, month, gun, powder, rejects, note }: LossFlags) =>
      withShop(data, Date.now(), (shop) => {
        const seen = shop.losses().find((one) => one.month === month && one.gun === gun)?.version ?? 0;
        const given = { powderKilograms: powder ?? null, rejects: rejects ?? null, note: note ?? '' };
        const { version } = shop.stateLosses(month, gun, checked(given, Losses, 'losses'), { who: whoRuns(), seen });
        process.stderr.write(`${month} ${gun}: version ${version}\n`);
      }),
    );
}

async function fromFile<T>(file: string, schema: z.ZodType<T>): Promise<T> {
  const text = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
    throw new AppError('USAGE', `${file}: cannot be read (${error.code ?? error.message})`, { cause: error });
  });
  let found: unknown;
  try {
    found = parse(text);
  } catch (error) {
    throw new AppError('USAGE', `${file}: ${(error as Error).message.split('\n')[0]}`, { cause: error });
  }
  return checked(found, schema, file);
}

function checked<T>(found: unknown, schema: z.ZodType<T>, where: string): T {
  const parsed = schema.safeParse(found);
  if (parsed.success) return parsed.data;
  throw new AppError('USAGE', `${where}: ${valueFaults(parsed.error, found, schema).join('; ')}`);
}
