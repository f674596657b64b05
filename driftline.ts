#!/usr/bin/env node
import process from 'node:process';
import { addAnalyze } from './commands/analyze.ts';
import { newProgram } from './commands/command.ts';
import { failure } from './commands/failure.ts';
import { endWhenNobodyReads } from './commands/standard-streams.ts';

const program = newProgram();
if (process.argv[2] === 'analyze') {
  // It needs neither server nor simulators, and starts in half the time without them.
  addAnalyze(program);
} else {
  const { addCommands } = await import('./commands/all.ts');
  const { auditCommands } = await import('./commands/audited.ts');
  addCommands(program);
  auditCommands(program);
}

endWhenNobodyReads();
try {
  await program.parseAsync();
} catch (error) {
  const { status, line } = failure(error);
  if (line !== '') process.stderr.write(`${line}\n`);
  process.exitCode = status;
}
