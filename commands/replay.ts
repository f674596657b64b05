import process from 'node:process';
import type { Command } from 'commander';
import {
  brokenBounds,
  FEWEST_MONTHS,
  gridOf,
  historySteps,
  monthsOf,
  readBundleFile,
  reportText,
  SecondThread,
  type SiteHistory,
  type Span,
  type Study,
  type StudyBundle,
  sitePowders,
  spanOfHistory,
  studyAll,
  studyOnTwo,
  studyReport,
  suggestionText,
  suggestSettings,
  toldStudy,
  tradeOffText,
  type Versions,
  versionsHere,
  writeBundleFile,
} from '../analyzer/index.ts';
import { AppError, counted, idleOverrides, parseIsoTime, Settings } from '../collector/contract/index.ts';
import { openStore, readSettings } from '../collector/index.ts';
import { recordedPlant } from '../dashboard/index.ts';
import { nonNegativeArgument } from './arguments.ts';
import { command } from './command.ts';
import { refuseIdleFlags } from './idle-replay-flags.ts';
import { out } from './standard-streams.ts';
import { toldOfTwo, toldOnTerminal } from './told-on-terminal.ts';

interface ReplayFlags {
  data?: string;
  bundle?: string;
  settings?: string;
  against?: string;
  from?: string;
  to?: string;
  json: boolean;
  curve: boolean;
  suggest?: number;
  save?: string;
  maxFalse?: number;
  maxMissed?: number;
  maxLate?: number;
  minWarning?: number;
}

const VERSIONS: Versions = versionsHere();
/** A bound that the caller stated is broken. */
const BROKEN = 3;

export function addReplay(program: Command): void {
  command(
    program,
    'replay',
    'Tell what settings would have found in the past, set against what the log says was found.',
  )
    .option('--data <dir>', 'data folder of the service, also while it runs')
    .option('--bundle <file>', 'study bundle instead of a data folder; without --settings it is reproduced')
    .option('--settings <file>', 'proposed settings (YAML)')
    .option('--against <file>', 'present settings (YAML); default: those that hold in the data folder')
    .option(
      '--from <time>',
      'findings and parts from this time on, ISO 8601 with offset; default where the history begins',
    )
    .option('--to <time>', 'up to before this time, ISO 8601 with offset; default where the history ends')
    .option('--json', 'print JSON', false)
    .option('--curve', 'try 25 settings around the proposed ones: false alarms against warning', false)
    .option(
      '--suggest <rate>',
      'suggest settings for this many false alarms per gun and year, checked on months that did not choose them',
      nonNegativeArgument,
    )
    .option('--save <file>', 'also write a study bundle, which another machine reproduces')
    .option('--max-false <rate>', 'bound: false alarms per gun and year', nonNegativeArgument)
    .option('--max-missed <n>', 'bound: parts found worn that were missed', nonNegativeArgument)
    .option('--max-late <n>', 'bound: parts found worn that were told of late', nonNegativeArgument)
    .option('--min-warning <hours>', 'bound: spray hours of warning, on average', nonNegativeArgument)
    .action(replay);
}

async function replay(flags: ReplayFlags): Promise<void> {
  if ((flags.data === undefined) === (flags.bundle === undefined))
    throw new AppError(
      'USAGE',
      `found ${flags.data === undefined ? 'neither --data nor --bundle' : 'both --data and --bundle'}, expected one of them`,
    );
  refuseIdleFlags({ ...flags });
  if (flags.settings === undefined) {
    if (flags.bundle === undefined) throw new AppError('USAGE', 'found no --settings, expected the settings to try');
    return reproduce(await readBundleFile(flags.bundle, VERSIONS), flags);
  }
  // What was typed is read first: nobody should wait for a year of runs to be told of a slip.
  const proposed = await readSettings(flags.settings);
  const against = flags.against === undefined ? null : await readSettings(flags.against);
  const [from, to] = [timeOf('--from', flags.from), timeOf('--to', flags.to)];
  const bundle = flags.bundle === undefined ? null : await readBundleFile(flags.bundle, VERSIONS);
  const history = bundle === null ? historyOf(flags.data!) : bundle.history;
  tellIdle(flags.settings, proposed, history);
  if (against !== null) tellIdle(flags.against!, against, history);
  const present = against ?? bundle?.present ?? history.settings.at(-1)?.settings ?? Settings.parse({});
  const span = spanOfFlags(from, to, history);
  if (flags.curve || flags.suggest !== undefined) return tryMany(history, proposed, span, flags);
  await answer({ history, ...span, present, proposed }, flags);
}

async function answer(asked: Omit<StudyBundle, 'report'>, flags: ReplayFlags): Promise<void> {
  const [present, proposed] = bothOf(asked);
  const report = studyReport(asked.history, present, proposed);
  const json = JSON.stringify(report);
  if (flags.save !== undefined) await writeBundleFile(flags.save, { ...asked, report: json }, VERSIONS);
  await out.write(flags.json ? `${json}\n` : reportText(report));
  tellBroken(proposed, flags);
}

/** Says which stated bounds the proposed settings break, in words and by the exit status. */
function tellBroken(proposed: Study, flags: ReplayFlags): void {
  const broken = brokenBounds(proposed.total, {
    mostFalsePerGunYear: flags.maxFalse,
    mostMissed: flags.maxMissed,
    mostLate: flags.maxLate,
    leastWarningSprayHours: flags.minWarning,
  });
  for (const sentence of broken) process.stderr.write(`bound broken: ${sentence}\n`);
  if (broken.length > 0) process.exitCode = BROKEN;
}

/** What present and proposed settings find: together, as far as they go the same way. */
function bothOf({ history, present, proposed, from, to }: Omit<StudyBundle, 'report'>): [Study, Study] {
  const steps = studyAll(history, [present, proposed], { from, to });
  const [before, after] = toldOnTerminal('trying settings', steps, ({ share }) => share);
  return [before!, after!];
}

/** Asks a bundle's question again and says whether the answer is the same to the last byte. */
async function reproduce(bundle: StudyBundle, flags: ReplayFlags): Promise<void> {
  const [present, proposed] = bothOf(bundle);
  const report = studyReport(bundle.history, present, proposed);
  const json = JSON.stringify(report);
  await out.write(flags.json ? `${json}\n` : reportText(report));
  if (json === bundle.report) process.stderr.write(`${flags.bundle}: reproduced, the same to the last byte\n`);
  else throw new AppError('INTERNAL', `${flags.bundle}: the answer differs from the one that it carries`);
  tellBroken(proposed, flags);
}

async function tryMany(history: SiteHistory, base: Settings, span: Span, flags: ReplayFlags): Promise<void> {
  const months = monthsOf(span, history.plant.site.timezone);
  if (flags.suggest !== undefined && months.length < FEWEST_MONTHS)
    throw new AppError(
      'USAGE',
      `--suggest: found a history of ${counted(months.length, 'calendar month')}, expected at least ${FEWEST_MONTHS}, so that some can be held out`,
    );
  const studies = await manyOf(history, gridOf(base), span);
  if (flags.suggest === undefined) {
    await out.write(flags.json ? `${JSON.stringify(studies.map(toldStudy))}\n` : tradeOffText(studies));
    return;
  }
  const suggestion = suggestSettings(studies, months, flags.suggest);
  await out.write(flags.json ? `${JSON.stringify(suggestion)}\n` : suggestionText(suggestion, flags.suggest));
}

/** What many settings find, on two threads where there are processors for them. */
async function manyOf(history: SiteHistory, settings: readonly Settings[], span: Span): Promise<Study[]> {
  const second = SecondThread.where();
  try {
    return await toldOfTwo('trying settings', studyOnTwo(second, history, settings, span), ({ share }) => share);
  } finally {
    await second?.stop();
  }
}

function tellIdle(file: string, settings: Settings, { plant, tracks }: SiteHistory): void {
  for (const { sentence } of idleOverrides(settings, plant, sitePowders(plant, tracks)))
    process.stderr.write(`${file}: ${sentence}\n`);
}

function historyOf(dir: string): SiteHistory {
  const store = openStore(dir);
  try {
    const steps = historySteps(store, recordedPlant(store, dir));
    return toldOnTerminal('reading the stored runs', steps, (share) => share);
  } finally {
    store.close();
  }
}

function spanOfFlags(from: number | null, to: number | null, history: SiteHistory): Span {
  const span = spanOfHistory(history, from, to);
  if (typeof span === 'string') throw new AppError('USAGE', span);
  return span;
}

function timeOf(flag: string, text: string | undefined): number | null {
  if (text === undefined) return null;
  const time = parseIsoTime(text);
  if (!Number.isFinite(time))
    throw new AppError(
      'USAGE',
      `${flag}: found ${JSON.stringify(text)}, expected a time that exists, ISO 8601 with offset`,
    );
  return time;
}
