import type { Command } from 'commander';
import { AppError, formatTime, quoted } from '../collector/contract/index.ts';
import { damageWords, type KnownDamage, openStore, type Store } from '../collector/index.ts';
import { csvText } from '../dashboard/index.ts';
import { countArgument } from './arguments.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { whoRuns } from './who-runs.ts';

interface Flags {
  readonly data: string;
  readonly number: number;
}

export function addDamage(program: Command): void {
  const damage = command(program, 'damage', 'What is damaged on the disk, and what people say of it.');
  const dataOption = (one: Command): Command => one.requiredOption('--data <dir>', 'data folder of the service');
  const numberOption = (one: Command): Command =>
    dataOption(one).requiredOption('--number <n>', 'number in "driftline damage list"', countArgument);

  dataOption(command(damage, 'list', 'All that was found damaged, as CSV, what is settled too.')).action(
    async ({ data }: { data: string }) => out.write(listed(inFolder(data, (store) => store.damage.list()))),
  );
  audited(numberOption(command(damage, 'settle', 'It came again, or is given up: it is told of no more.')))
    .requiredOption('--reason <text>', 'why, e.g. that its readings were imported from a backup')
    .action(({ data, number, reason }: Flags & { readonly reason: string }) => {
      const why = reason.trim();
      if (why === '') throw new AppError('USAGE', `--reason: found ${quoted(reason)}, expected a reason`);
      const word = { at: Date.now(), who: whoRuns(), why };
      told(inFolder(data, (store) => store.damage.settle(number, word)));
    });
  audited(numberOption(command(damage, 'undo', 'Takes a settlement back: it is refused and told of again.'))).action(
    ({ data, number }: Flags) => told(inFolder(data, (store) => store.damage.reopen(number))),
  );
}

function inFolder<T>(dir: string, body: (store: Store) => T): T {
  const store = openStore(dir);
  try {
    return body(store);
  } finally {
    store.close();
  }
}

function listed(all: readonly KnownDamage[]): string {
  return csvText(
    ['number', 'what', 'station', 'from', 'to', 'certain', 'fault', 'settled', 'by', 'reason'],
    all.map(({ id, kind, what, station, from, to, certain, fault, settled }) => [
      ...[id, kind, station, station === '' ? '' : formatTime(from), station === '' ? '' : formatTime(to)],
      ...[certain ? 'yes' : 'no', `${what}: ${fault}`],
      ...[settled === null ? '' : formatTime(settled.at), settled?.who ?? '', settled?.why ?? ''],
    ]),
  );
}

function told(one: KnownDamage): void {
  const word = one.settled === null ? 'open again' : `settled: ${one.settled.why}`;
  process.stderr.write(`damage ${one.id}, ${word}; ${damageWords(one)}\n`);
}
