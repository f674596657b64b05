import type { Command } from 'commander';
import { AppError, counted, formatTime } from '../collector/contract/index.ts';
import { type Verified, type VerifiedStation, verifyStore } from '../collector/index.ts';
import { countArgument } from './arguments.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

const MINUTE_MS = 60_000;
/** Gaps that are printed of one station. */
const GAPS_SHOWN = 20;

export function addVerify(program: Command): void {
  command(program, 'verify', 'Check the store: integrity, every chunk, counts, gaps; also while the service runs.')
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--gap-minutes <n>', 'gaps between readings from this length on are listed', countArgument, 30)
    .option('--most-gaps <n>', 'end with status 3 when any station has more gaps than this', wholeOrNone)
    .option('--json', 'one JSON object in place of lines', false)
    .action(async (flags: { data: string; gapMinutes: number; mostGaps?: number; json: boolean }) => {
      const verified = verifyStore(flags.data, flags.gapMinutes * MINUTE_MS);
      if (flags.json) await out.write(`${JSON.stringify(verified)}\n`);
      else await out.write(lines(verified, flags.gapMinutes));
      const { faults, setAside } = verified;
      if (faults.length > 0)
        throw new AppError(
          'STORE_UNUSABLE',
          `${flags.data}: ${counted(faults.length, 'fault')}; restore a backup: ${faults[0]}`,
        );
      if (setAside.length > 0)
        throw new AppError('READINGS_DAMAGED', `${flags.data}: ${setAside.length} set aside: ${setAside[0]}`);
      const worst = verified.stations.find(({ gaps }) => gaps.length > (flags.mostGaps ?? Number.POSITIVE_INFINITY));
      if (worst)
        throw new AppError(
          'BOUND_BROKEN',
          `${worst.station} has ${counted(worst.gaps.length, 'gap')}, more than ${flags.mostGaps}`,
        );
    });
}

function wholeOrNone(text: string): number {
  return text === '0' ? 0 : countArgument(text);
}

/** Frames of all stations together, as they came. */
export function frameSum({ stations }: Verified): number {
  return stations.reduce((sum, { frames }) => sum + frames, 0);
}

function lines(verified: Verified, gapMinutes: number): string {
  const { stations, chunks, batches, runs, findings, logEntries, refusals, schemaVersion, withoutChecksum } = verified;
  const { setAside, faults } = verified;
  return [
    ...stations.map((station) => stationLines(station, gapMinutes)),
    `store version ${schemaVersion}: ${counted(frameSum(verified), 'frame')} in ${counted(chunks, 'chunk')} and ${counted(batches, 'batch', 'batches')}, ${counted(runs, 'run')}, ${counted(findings, 'finding')}, ${counted(logEntries, 'log entry', 'log entries')}, ${counted(refusals, 'refusal')}`,
    ...(withoutChecksum > 0
      ? [
          `${withoutChecksum} of the chunks, batches, runs and thinned days are from before there were checksums and have none`,
        ]
      : []),
    ...setAside.map((sentence) => `set aside: ${sentence}`),
    ...faults.map((fault) => `fault: ${fault}`),
    faults.length === 0 ? 'no fault found' : `${counted(faults.length, 'fault')} found`,
    '',
  ].join('\n');
}

function stationLines(one: VerifiedStation, gapMinutes: number): string {
  const { station, frames, readings, thinned, firstTime, lastTime, duplicates, conflicts, gaps } = one;
  const sum = (counts: Readonly<Record<string, number>>): number => Object.values(counts).reduce((a, b) => a + b, 0);
  const away = thinned === 0 ? '' : ` (${counted(thinned, 'frame')} thinned since)`;
  const head = `${station}: ${counted(frames, 'frame')}, ${counted(readings, 'reading')}${away}, ${formatTime(firstTime)} to ${formatTime(lastTime)}, ${counted(sum(duplicates), 'duplicate')}, ${counted(sum(conflicts), 'conflict')}, ${counted(gaps.length, 'gap')} of ${counted(gapMinutes, 'minute')} and more`;
  const listed = gaps
    .slice(0, GAPS_SHOWN)
    .map(
      ({ from, to }) =>
        `  gap ${formatTime(from)} to ${formatTime(to)}, ${counted(Math.round((to - from) / MINUTE_MS), 'minute')}`,
    );
  const more = gaps.length > GAPS_SHOWN ? [`  and ${gaps.length - GAPS_SHOWN} more`] : [];
  return [head, ...listed, ...more].join('\n');
}
