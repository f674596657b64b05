import { Command } from 'commander';
import { VERSION } from '../collector/contract/index.ts';

const EXIT_STATUS = `
Exit status: 0 done, 2 unusable input or arguments, 3 a bound that you stated is broken, 1 anything else.`;

/** The program without its commands. Faults are thrown: `failure` words them once, for every command alike. */
export function newProgram(): Command {
  return failingByThrow(new Command('driftline'))
    .description('Tells which worn part of which powder gun to change, and when, from its pressure and flow readings.')
    .version(VERSION)
    .addHelpText('after', EXIT_STATUS)
    .showSuggestionAfterError(true);
}

/** Adds a command that does something, or one that groups others. */
export function command(parent: Command, name: string, description: string): Command {
  return failingByThrow(parent.command(name)).description(description).allowExcessArguments(false);
}

function failingByThrow(one: Command): Command {
  return one.exitOverride().configureOutput({ writeErr: () => undefined });
}
