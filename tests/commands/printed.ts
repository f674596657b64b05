import process from 'node:process';
import type { Command } from 'commander';
import { vi } from 'vitest';
import { newProgram } from '../../commands/command.ts';

/** What a command writes on standard output. */
export async function printed(add: (program: Command) => void, ...words: string[]): Promise<string> {
  const write = vi.spyOn(process.stdout, 'write').mockReturnValue(true);
  const remarks = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
  try {
    const program = newProgram();
    add(program);
    await program.parseAsync(words, { from: 'user' });
    return write.mock.calls.map(([text]) => String(text)).join('');
  } finally {
    write.mockRestore();
    remarks.mockRestore();
  }
}
