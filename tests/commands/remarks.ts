import process from 'node:process';
import type { Command } from 'commander';
import { vi } from 'vitest';
import { newProgram } from '../../commands/command.ts';

/** What a command writes on standard error, and the status that it ends with. */
export async function remarks(
  add: (program: Command) => void,
  ...words: string[]
): Promise<{ readonly text: string; readonly status: number }> {
  const write = vi.spyOn(process.stdout, 'write').mockReturnValue(true);
  const said = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
  const before = process.exitCode;
  try {
    const program = newProgram();
    add(program);
    await program.parseAsync(words, { from: 'user' });
    return { text: said.mock.calls.map(([text]) => String(text)).join(''), status: Number(process.exitCode ?? 0) };
  } finally {
    process.exitCode = before;
    write.mockRestore();
    said.mockRestore();
  }
}
