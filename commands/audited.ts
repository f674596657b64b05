import type { Command } from 'commander';
import { atAccountDesk } from '../dashboard/index.ts';
import { whoRuns } from './who-runs.ts';

/** Longest detail of an entry, characters. Source: own choice, as long as a request's. */
const LONGEST_DETAIL = 1000;

type Options = Readonly<Record<string, unknown>>;

const CHANGING = new WeakMap<Command, (options: Options) => boolean>();

/**
 * Marks a command that changes what a data folder says, so that the audit trail has it. Commands of accounts write their
 * entries themselves.
 *
 * @param when with which options it does; always when left out
 */
export function audited(one: Command, when: (options: Options) => boolean = () => true): Command {
  CHANGING.set(one, when);
  return one;
}

/** Whether a command was marked so, whatever its options. */
export function isAudited(one: Command): boolean {
  return CHANGING.has(one);
}

/** Writes each command that changed something into the audit trail of its data folder, once it has succeeded. */
export function auditCommands(program: Command): void {
  program.hook('postAction', async (_program, done) => {
    const words = pathOf(done, program);
    const { data, ...given } = done.opts<Record<string, unknown>>();
    if (typeof data !== 'string' || CHANGING.get(done)?.(given) !== true) return;
    const detail = auditDetail(given, done.args);
    await atAccountDesk(
      { dir: data, create: false, who: whoRuns(), now: Date.now() },
      ({ store, actor: { who, origin, now } }) => {
        store.audit.add({ at: now, who, what: `driftline ${words.join(' ')}`, detail, origin });
      },
    );
  });
}

/** What an entry says of how a command was called. */
export function auditDetail(given: Options, args: readonly string[]): string {
  const text = JSON.stringify(args.length > 0 ? { ...given, arguments: args } : given);
  return text.length > LONGEST_DETAIL ? `${text.slice(0, LONGEST_DETAIL)}…` : text;
}

/** The words that name a command, e.g. `log add`. */
function pathOf(one: Command, program: Command): string[] {
  return one === program || one.parent === null ? [] : [...pathOf(one.parent, program), one.name()];
}
