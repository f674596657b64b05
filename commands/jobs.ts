import type { Command } from 'commander';
import type { LoopJob } from '../analyzer/index.ts';
import { AppError, formatTime, parseTime } from '../collector/contract/index.ts';
import { csvText, withUpkeep } from '../dashboard/index.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { whoRuns } from './who-runs.ts';

interface OneJob {
  data: string;
  job: string;
  seen?: string;
}

const dataOption = (one: Command): Command => one.requiredOption('--data <dir>', 'data folder of the service');

/** The jobs of the maintenance loop; also while the service runs. */
export function addJobs(program: Command): void {
  const jobs = command(program, 'jobs', 'Jobs of findings and of the plan; also while the service runs.');
  dataOption(command(jobs, 'list', 'Print the jobs as CSV, most pressing first.'))
    .option('--gun <id>', 'of one gun')
    .option('--all', 'also those that ended')
    .action(async ({ data, gun, all }: { data: string; gun?: string; all?: boolean }) => {
      await out.write(
        withUpkeep(data, Date.now(), (upkeep) => jobLines(chosen(upkeep.loop().jobs, gun, all === true))),
      );
    });
  const one = (name: string, says: string): Command =>
    audited(dataOption(command(jobs, name, says)))
      .requiredOption('--job <id>', 'job, as `jobs list` names it')
      .option('--seen <version>', 'version of the job that you have seen; default: the newest');
  one('acknowledge', 'Say that it was seen.').action((flags: OneJob) => act(flags, { deed: 'acknowledge' }));
  one('plan', 'Say when it will be done.')
    .requiredOption('--for <time>', 'when, ISO 8601 with offset')
    .option('--note <text>', 'anything else', '')
    .action((flags: OneJob & { for: string; note: string }) =>
      act(flags, { deed: 'plan', for: timeOf('--for', flags.for), note: flags.note }),
    );
  one('unplan', 'Take its plan back.').action((flags: OneJob) => act(flags, { deed: 'unplan' }));
  one('shelve', 'Put it on the shelf for a while.')
    .requiredOption('--until <time>', 'end, ISO 8601 with offset')
    .requiredOption('--reason <text>', 'why')
    .action((flags: OneJob & { until: string; reason: string }) =>
      act(flags, { deed: 'shelve', until: timeOf('--until', flags.until), reason: flags.reason }),
    );
  one('unshelve', 'Take it off the shelf.').action((flags: OneJob) => act(flags, { deed: 'unshelve' }));
  one('done', 'Say that it is done, where no part was changed.')
    .option('--note <text>', 'anything else', '')
    .action((flags: OneJob & { note: string }) => act(flags, { deed: 'done', note: flags.note }));
  one('undo', 'Take the last of these back.').action((flags: OneJob) => act(flags, { deed: 'undo' }));
}

type Deed = Parameters<Parameters<Parameters<typeof withUpkeep<LoopJob>>[2]>[0]['act']>[1];

async function act({ data, job, seen }: OneJob, deed: Deed): Promise<void> {
  const done = withUpkeep(data, Date.now(), (upkeep) => {
    const version = upkeep.loop().jobs.find(({ id }) => id === job)?.version ?? 0;
    return upkeep.act(job, deed, { who: whoRuns(), seen: seen === undefined ? version : versionOf(seen) });
  });
  await out.write(jobLines([done]));
}

function versionOf(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new AppError('USAGE', `--seen: found "${text}", expected a version`);
  return Number(text);
}

/** @throws {AppError} USAGE */
function timeOf(option: string, text: string): number {
  const time = parseTime(text);
  if (!Number.isFinite(time)) throw new AppError('USAGE', `${option}: found "${text}", expected ISO 8601 with offset`);
  return time;
}

const chosen = (jobs: readonly LoopJob[], gun: string | undefined, all: boolean): LoopJob[] =>
  jobs.filter(
    (job) => (gun === undefined || job.gun === gun) && (all || (job.state !== 'proven' && job.state !== 'gone')),
  );

const time = (ms: number | null): string => (ms === null ? '' : formatTime(ms));

function jobLines(jobs: readonly LoopJob[]): string {
  const head = [
    ...['rank', 'job', 'gun', 'part', 'action', 'state', 'reopened', 'alert', 'due', 'stop', 'stop_kind'],
    ...['check_first', 'safety_relevant', 'version', 'source'],
  ];
  return csvText(
    head,
    jobs.map((job) => [
      ...[job.rank, job.id, job.gun, job.part, job.action, job.state, String(job.reopened), job.alert],
      ...[time(job.due), time(job.stop?.at ?? null), job.stop?.kind ?? null, job.benchCheck?.part ?? null],
      ...[String(job.safetyRelevant), job.version, job.source],
    ]),
  );
}
