import process from 'node:process';
import type { Command } from 'commander';
import { AppError, counted } from '../collector/contract/index.ts';
import { backupStore } from '../collector/index.ts';
import { command } from './command.ts';
import { frameSum } from './verify.ts';

export function addBackup(program: Command): void {
  command(program, 'backup', 'Copy the store into one file, checked; also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .requiredOption('--out <file>', 'the backup; must not be there yet')
    .action(({ data, out }: { data: string; out: string }) => {
      const { bytes, verified } = backupStore(data, out);
      process.stderr.write(`${out}: ${bytes} bytes, ${counted(frameSum(verified), 'frame')}, checked\n`);
      const { setAside } = verified;
      if (setAside.length > 0)
        throw new AppError(
          'READINGS_DAMAGED',
          `${out}: is written, and has what the store has; missing in both: ${setAside.join('; ')}; keep the last backup from before`,
        );
    });
}
