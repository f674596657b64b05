import process from 'node:process';
import type { Command } from 'commander';
import { compactStates } from '../analyzer/index.ts';
import { counted } from '../collector/contract/index.ts';
import { compactStore } from '../collector/index.ts';
import { command } from './command.ts';

export function addCompact(program: Command): void {
  command(program, 'compact', 'Bring the store of a stopped service to its smallest form.')
    .requiredOption('--data <dir>', 'data folder')
    .action(({ data }: { data: string }) => {
      const { frames, bytesBefore, bytesAfter } = compactStore(data, compactStates);
      process.stderr.write(
        `${data}: ${counted(frames, 'frame')}, ${bytesBefore} bytes before, ${bytesAfter} bytes now\n`,
      );
    });
}
