import process from 'node:process';
import type { Command } from 'commander';
import { counted } from '../collector/contract/index.ts';
import { restoreStore } from '../collector/index.ts';
import { command } from './command.ts';
import { frameSum } from './verify.ts';

export function addRestore(program: Command): void {
  command(program, 'restore', 'Make a data folder out of a backup. A store that is there is never overwritten.')
    .requiredOption('--from <file>', 'the backup')
    .requiredOption('--data <dir>', 'data folder without a store; made where there is none')
    .action(async ({ from, data }: { from: string; data: string }) => {
      const { bytes, verified } = await restoreStore(from, data);
      process.stderr.write(`${data}: ${bytes} bytes, ${counted(frameSum(verified), 'frame')}, checked\n`);
      for (const sentence of verified.setAside) process.stderr.write(`${from}: missing in it: ${sentence}\n`);
    });
}
