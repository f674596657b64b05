#!/usr/bin/env node
import process from 'node:process';
import { addCommands } from './commands/all.ts';
import { auditCommands } from './commands/audited.ts';
import { newProgram } from './commands/command.ts';
import { failure } from './commands/failure.ts';
import { endWhenNobodyReads } from './commands/standard-streams.ts';

const program = newProgram();
addCommands(program);
auditCommands(program);

endWhenNobodyReads();
try {
  await program.parseAsync();
} catch (error) {
  const { status, line } = failure(error);
  if (line !== '') process.stderr.write(`${line}\n`);
  process.exitCode = status;
}
