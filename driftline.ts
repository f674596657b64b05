#!/usr/bin/env node
import process from 'node:process';
import { addAnalyze } from './commands/analyze.ts';
import { addAudit } from './commands/audit.ts';
import { auditCommands } from './commands/audited.ts';
import { addBackup } from './commands/backup.ts';
import { addCheckConfig } from './commands/check-config.ts';
import { newProgram } from './commands/command.ts';
import { addCompact } from './commands/compact.ts';
import { addCost } from './commands/cost.ts';
import { addDemo } from './commands/demo.ts';
import { addEvaluate } from './commands/evaluate.ts';
import { addExport } from './commands/export.ts';
import { failure } from './commands/failure.ts';
import { addImport } from './commands/import.ts';
import { addJobs } from './commands/jobs.ts';
import { addJournal } from './commands/journal.ts';
import { addLife } from './commands/life.ts';
import { addLog } from './commands/log.ts';
import { addMap } from './commands/map.ts';
import { addPersonCommand } from './commands/person.ts';
import { addPlan } from './commands/plan.ts';
import { addReplay } from './commands/replay.ts';
import { addRestore } from './commands/restore.ts';
import { addServe } from './commands/serve.ts';
import { addSimulate } from './commands/simulate.ts';
import { endWhenNobodyReads } from './commands/standard-streams.ts';
import { addStationCommand } from './commands/station.ts';
import { addStock } from './commands/stock.ts';
import { addTokenCommand } from './commands/token.ts';
import { addVerify } from './commands/verify.ts';

const program = newProgram();
addServe(program);
addDemo(program);
addAnalyze(program);
addSimulate(program);
addEvaluate(program);
addReplay(program);
addLog(program);
addJobs(program);
addPlan(program);
addStock(program);
addLife(program);
addCost(program);
addJournal(program);
addImport(program);
addMap(program);
addExport(program);
addCompact(program);
addBackup(program);
addRestore(program);
addVerify(program);
addCheckConfig(program);
addPersonCommand(program);
addStationCommand(program);
addTokenCommand(program);
addAudit(program);
auditCommands(program);

endWhenNobodyReads();
try {
  await program.parseAsync();
} catch (error) {
  const { status, line } = failure(error);
  if (line !== '') process.stderr.write(`${line}\n`);
  process.exitCode = status;
}
