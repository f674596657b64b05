import { type Command, Option } from 'commander';
import { PART_IDS, type PartId } from '../collector/contract/index.ts';
import { lifeCsv, withShop } from '../dashboard/index.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { tellMissing } from './tell-missing.ts';

interface LifeFlags {
  data: string;
  part?: PartId;
  by: 'all' | 'family' | 'gun';
  measure: 'sprayHours' | 'kilograms';
  json?: boolean;
}

export function addLife(program: Command): void {
  command(program, 'life', 'Print life statistics of the parts as CSV; also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .addOption(new Option('--part <id>', 'one part; default all that have lives').choices(PART_IDS))
    .addOption(new Option('--by <what>', 'told apart by').choices(['all', 'family', 'gun']).default('all'))
    .addOption(
      new Option('--measure <what>', 'what lives are measured in')
        .choices(['sprayHours', 'kilograms'])
        .default('sprayHours'),
    )
    .option('--json', 'as JSON, with the points and the curve of the plot')
    .action(async ({ data, part, by, measure, json }: LifeFlags) =>
      withShop(data, Date.now(), async (shop, _plant, missing) => {
        const told = shop.lives({ part: part ?? null, by, measure });
        await out.write(json ? `${JSON.stringify(told, null, 2)}\n` : lifeCsv(told));
        tellMissing(missing());
      }),
    );
}
