import process from 'node:process';
import { Argument, type Command, InvalidArgumentError } from 'commander';
import { ROLES, type Role } from '../collector/contract/index.ts';
import { type AccountDesk, atAccountDesk } from '../dashboard/index.ts';
import { command } from './command.ts';
import { whoRuns } from './who-runs.ts';

interface DataFlag {
  readonly data: string;
}

/** Work of an account command: what it is told, and what it says on standard output. */
type Work<Flags> = (desk: AccountDesk, name: string, flags: Flags) => string | Promise<string>;

/** A command that changes or lists accounts of a data folder, also while a service runs on it. */
export function accountCommand<Flags = object>(
  parent: Command,
  name: string,
  description: string,
  work: Work<Flags>,
  options: { readonly argument?: string; readonly create?: boolean } = {},
): Command {
  const one = command(parent, name, description).requiredOption('--data <dir>', 'data folder of the service');
  const act = async (subject: string, flags: Flags & DataFlag): Promise<void> => {
    const now = Date.now();
    const said = await atAccountDesk(
      { dir: flags.data, create: options.create ?? false, who: whoRuns(), now },
      (desk) => work(desk, subject, flags),
    );
    if (said !== '') process.stdout.write(`${said}\n`);
  };
  if (options.argument === undefined) return one.action((flags: Flags & DataFlag) => act('', flags));
  return one.addArgument(new Argument(`<${options.argument}>`)).action(act);
}

/** A role given on the command line. */
export function roleArgument(text: string): Role {
  const role = ROLES.find((one) => one === text);
  if (role === undefined) throw new InvalidArgumentError(`expected one of ${ROLES.join(', ')}.`);
  return role;
}

/** Says something that is not the command's result. */
export function remark(sentence: string): void {
  process.stderr.write(`${sentence}\n`);
}

/** Rows as columns of text, for people. */
export function columns(rows: readonly (readonly string[])[]): string {
  const widths = (rows[0] ?? []).map((_, at) => Math.max(...rows.map((row) => row[at]?.length ?? 0)));
  return rows
    .map((row) =>
      row
        .map((cell, at) => cell.padEnd(widths[at] ?? 0))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}
