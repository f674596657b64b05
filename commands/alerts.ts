import type { Command } from 'commander';
import { formatTime } from '../collector/contract/index.ts';
import { csvText, withUpkeep } from '../dashboard/index.ts';
import { countArgument } from './arguments.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

/** The load of alerts, as `GET /api/alerts/load` has it. */
export function addAlerts(program: Command): void {
  command(program, 'alerts', 'Print how many alerts were raised by gun and week, as CSV; also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--weeks <n>', 'weeks of seven days, up to now', countArgument, 8)
    .action(async ({ data, weeks }: { data: string; weeks: number }) => {
      await out.write(
        withUpkeep(data, Date.now(), (upkeep, plant) => {
          const guns = [...plant.guns.map(({ id }) => id), ''];
          return csvText(
            ['from', 'to', 'gun', 'raised'],
            upkeep
              .load(weeks)
              .weeks.flatMap(({ from, to, perGun }) =>
                guns.map((gun) => [formatTime(from), formatTime(to), gun, perGun[gun] ?? 0]),
              ),
          );
        }),
      );
    });
}
