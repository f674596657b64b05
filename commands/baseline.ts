import process from 'node:process';
import type { Command } from 'commander';
import { AppError, FOUND, formatTime, parseTime } from '../collector/contract/index.ts';
import { baselineCsv, baselineInFolder, csvText, withBaselines } from '../dashboard/index.ts';
import { countArgument } from './arguments.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { whoRuns } from './who-runs.ts';

const inFolder = (one: Command): Command => one.requiredOption('--data <dir>', 'data folder of the service');

/** Baselines: what they are, and learning them anew; also while the service runs. */
export function addBaseline(program: Command): void {
  const baseline = command(program, 'baseline', 'Baselines of guns; also while the service runs.');
  inFolder(
    command(baseline, 'show', 'Print the pump curve of a gun by powder with its 80 % band, and what taught it (CSV).'),
  )
    .requiredOption('--gun <id>', 'gun')
    .option('--json', 'as JSON')
    .action(async ({ data, gun, json }: { data: string; gun: string; json?: boolean }) => {
      const { answer, plant } = baselineInFolder(data, gun);
      if (answer.doubt !== null) process.stderr.write(`${answer.doubt.sentence}\n`);
      await out.write(json ? `${JSON.stringify(answer, null, 2)}\n` : baselineCsv(answer, plant));
    });
  inFolder(command(baseline, 'list', 'Print the baselines that are or were learnt anew (CSV).')).action(
    async ({ data }: { data: string }) => {
      const rows = withBaselines(data, Date.now(), (desk) => desk.relearnings());
      const head = ['id', 'gun', 'from', 'decided', 'reason', 'who', 'at', 'undone_by', 'undone_at'];
      await out.write(
        csvText(head, [
          ...rows.map(({ id, gun, from, decided, reason, who, at, undoneBy, undoneAt }) => [
            ...[id, gun, formatTime(from), formatTime(decided), reason, who, formatTime(at)],
            ...[undoneBy ?? '', undoneAt === null ? '' : formatTime(undoneAt)],
          ]),
        ]),
      );
    },
  );
  audited(
    inFolder(command(baseline, 'relearn', 'Have a gun’s baseline learnt anew from a date on; what was raised stays.')),
  )
    .requiredOption('--gun <id>', 'gun')
    .requiredOption('--from <time>', 'from when on runs teach it, ISO 8601 with offset')
    .requiredOption('--reason <text>', 'why')
    .action(({ data, gun, from, reason }: { data: string; gun: string; from: string; reason: string }) => {
      if (reason.trim() === '') throw new AppError('USAGE', '--reason: found nothing, expected why');
      const { id } = withBaselines(data, Date.now(), (desk) =>
        desk.relearn({ gun, from: timeOf('--from', from), reason: reason.trim() }, whoRuns()),
      );
      process.stderr.write(`baseline of ${gun}: learnt anew from ${from}, number ${id}\n`);
    });
  audited(inFolder(command(baseline, 'undo', 'Take it back: the baseline of before holds again.')))
    .requiredOption('--id <n>', 'number, as `baseline list` names it', countArgument)
    .action(({ data, id }: { data: string; id: number }) => {
      withBaselines(data, Date.now(), (desk) => desk.undoRelearning(id, whoRuns()));
      process.stderr.write(`number ${id}: taken back\n`);
    });
}

interface ChangeFlags {
  data: string;
  gun: string;
  part: string;
  time: string;
}

/** Changes that nobody logged: what the air shows, and what people say of it. */
export function addChanges(program: Command): void {
  const changes = command(
    program,
    'changes',
    'Changes that the air shows and nobody logged; also while the service runs.',
  );
  inFolder(command(changes, 'list', 'Print what waits for a word, and what was dismissed (CSV).')).action(
    async ({ data }: { data: string }) => {
      const { offered, dismissed } = withBaselines(data, Date.now(), (desk) => ({
        offered: desk.offered(),
        dismissed: desk.dismissals(),
      }));
      const head = [
        'state',
        'gun',
        'part',
        'time',
        'excess_before',
        'excess_after',
        'spray_hours',
        'dismissal',
        'reason',
        'who',
      ];
      await out.write(
        csvText(head, [
          ...offered.map(({ gun, part, time, before, after, sprayHours }) => [
            ...['offered', gun, part, formatTime(time), before.toFixed(3), after.toFixed(3)],
            ...[sprayHours === null ? '' : sprayHours.toFixed(1), '', '', ''],
          ]),
          ...dismissed.map(({ id, gun, part, time, reason, who }) => [
            ...['dismissed', gun, part, formatTime(time), '', '', '', id, reason, who],
          ]),
        ]),
      );
    },
  );
  const one = (name: string, says: string): Command =>
    audited(inFolder(command(changes, name, says)))
      .requiredOption('--gun <id>', 'gun')
      .requiredOption('--part <id>', 'part')
      .requiredOption('--time <time>', 'when the air shows it, as `changes list` prints it');
  one('confirm', 'Write it into the log.')
    .option('--found <word>', `one of ${FOUND.join(', ')}`)
    .option('--done-at <time>', 'when it was really done, ISO 8601 with offset; default when the air shows it')
    .option('--note <text>', 'anything else', '')
    .action(
      ({ data, found, doneAt, note, ...flags }: ChangeFlags & { found?: string; doneAt?: string; note: string }) => {
        const word = FOUND.find((known) => known === found) ?? null;
        if (found !== undefined && word === null)
          throw new AppError('USAGE', `--found: found "${found}", expected one of ${FOUND.join(', ')}`);
        const asked = {
          ...changeOf(flags),
          found: word,
          note,
          doneAt: doneAt === undefined ? null : timeOf('--done-at', doneAt),
        };
        const { id, gun, part, time } = withBaselines(data, Date.now(), (desk) => desk.confirm(asked, whoRuns()));
        process.stderr.write(`entry ${id}: ${gun}, ${part} replaced at ${formatTime(time)}\n`);
      },
    );
  one('dismiss', 'Say that there was no such change.')
    .requiredOption('--reason <text>', 'why')
    .action(({ data, reason, ...flags }: ChangeFlags & { reason: string }) => {
      const { id } = withBaselines(data, Date.now(), (desk) =>
        desk.dismiss({ ...changeOf(flags), reason: reason.trim() }, whoRuns()),
      );
      process.stderr.write(`dismissal ${id}\n`);
    });
  audited(inFolder(command(changes, 'undo', 'Take a dismissal back.')))
    .requiredOption('--dismissal <n>', 'number, as `changes list` names it', countArgument)
    .action(({ data, dismissal }: { data: string; dismissal: number }) => {
      withBaselines(data, Date.now(), (desk) => desk.undoDismissal(dismissal, whoRuns()));
      process.stderr.write(`dismissal ${dismissal}: taken back\n`);
    });
}

const changeOf = ({ gun, part, time }: Omit<ChangeFlags, 'data'>): { gun: string; part: string; time: number } => ({
  ...{ gun, part, time: timeOf('--time', time) },
});

function timeOf(flag: string, text: string): number {
  const time = parseTime(text);
  if (!Number.isFinite(time))
    throw new AppError('USAGE', `${flag}: found "${text}", expected ISO 8601 with offset such as 2026-03-02T06:00:00Z`);
  return time;
}
