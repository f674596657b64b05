import { type Command, Option } from 'commander';
import { BENCH_CHECKS, CAUTIONS } from '../analyzer/index.ts';
import { FOUND, PART_IDS, type PartId } from '../collector/contract/index.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';

/** How parts are checked by hand, as `GET /api/checks` has it. */
export function addChecks(program: Command): void {
  command(program, 'checks', 'Print how parts are checked by hand and judged, the cautions first.')
    .addOption(new Option('--part <id>', 'one part; default: all').choices(PART_IDS))
    .action(async ({ part }: { part?: PartId }) => {
      await out.write(inWords(part === undefined ? PART_IDS : [part]));
    });
}

function inWords(parts: readonly PartId[]): string {
  const checks = parts.map((part) => {
    const { title, steps, judge } = BENCH_CHECKS[part];
    return [
      `${part}: ${title}`,
      ...steps.map((step, index) => `  ${index + 1}. ${step}`),
      ...FOUND.map((found) => `  ${found}: ${judge[found]}`),
    ];
  });
  const blocks = [['Before you touch anything:', ...CAUTIONS.map((caution) => `  - ${caution}`)], ...checks];
  return `${blocks.map((lines) => lines.join('\n')).join('\n\n')}\n`;
}
