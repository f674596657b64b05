import type { Command } from 'commander';
import { type GunSight, sightsInFolder } from '../dashboard/index.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

export function addDoctor(program: Command): void {
  command(
    program,
    'doctor',
    'Tell what the channels fitted on each gun let be seen, part by part; also while the service runs.',
  )
    .requiredOption('--data <dir>', 'data folder of the service')
    .option('--gun <id>', 'one gun; default all')
    .option('--json', 'as JSON')
    .action(async ({ data, gun, json }: { data: string; gun?: string; json?: boolean }) => {
      const sights = sightsInFolder(data, gun);
      await out.write(json ? `${JSON.stringify(sights, null, 2)}\n` : sights.map(sightText).join('\n'));
    });
}

const SEEN = { first: 'seen', candidate: 'with its bench check', none: 'not seen' } as const;

/** One gun's sight as aligned lines. */
function sightText({ gun, name, wornDoubt, parts }: GunSight): string {
  const rows = parts.map(({ part, seen, smallestChange, of, sprayHours, missing, why }) => [
    part,
    SEEN[seen],
    smallestChange === null
      ? ''
      : of === 'inlet pressure, bar'
        ? `${smallestChange} bar`
        : `${(100 * smallestChange).toFixed(0)} % ${of}`,
    sprayHours === null ? '' : `${sprayHours} spray h`,
    missing.length === 0 ? why : `${why}; would help: ${missing.join(', ')}`,
  ]);
  const widths = [0, 1, 2, 3].map((column) => Math.max(...rows.map((row) => row[column]!.length)));
  const lines = rows.map((row) =>
    `  ${row.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  ')}`.trimEnd(),
  );
  const doubt = wornDoubt === null ? '' : `  ${wornDoubt}\n`;
  return `${gun}${name === gun ? '' : ` (${name})`}\n${doubt}${lines.join('\n')}\n`;
}
