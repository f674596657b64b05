import { type LogEntry, powderAt, type RunTable } from '../../collector/contract/index.ts';
import type { OutputSource } from '../baseline/add-run.ts';
import { type Block, closeAllBlocks } from '../baseline/block.ts';
import { newGunMemory } from '../baseline/gun-memory.ts';
import { learnRun } from '../baseline/learn-run.ts';
import { atmosphereBar } from '../runs/atmosphere.ts';

/** Some minutes of spraying at one setting, as the baseline takes them in. Air m3/h, output g/min, times epoch ms. */
export interface TaughtPoint {
  readonly from: number;
  readonly to: number;
  readonly powder: string;
  readonly air: number;
  readonly output: number;
  readonly runs: number;
  readonly minutes: number;
  /** Taught the curve while it was learnt; came later, when wear moves it too; or was left out. */
  readonly kind: 'taught' | 'later' | 'left-out';
  /** Why it was left out; empty for the others. */
  readonly why: string;
}

interface Runs {
  readonly table: RunTable;
  readonly log: readonly LogEntry[];
  readonly source: OutputSource;
  /** True when the output is a measurement. */
  readonly measured: boolean;
}

/** Blocks are cut by air and powder: pressures, which a site's height moves, are not told here. */
const ATMOSPHERE_BAR = atmosphereBar(0);

/** Blocks of a gun's runs, cut as the analysis cuts them: by setting and powder, and where somebody worked on the gun. */
function blocksOf({ table, log, source, measured }: Runs): { blocks: Block[]; starts: Map<string, number[]> } {
  const memory = newGunMemory(table.gun, source);
  const blocks: Block[] = [];
  const starts = new Map<string, number[]>();
  const work = log.filter(({ gun, action }) => gun === table.gun && action !== 'inspected');
  let next = 0;
  for (let row = 0; row < table.length; row++) {
    const start = table.columns.start[row]!;
    while (next < work.length && work[next]!.time <= start) {
      closeAllBlocks(table.gun, memory.open, blocks);
      next++;
    }
    const powder = powderAt(table, row);
    const known = starts.get(powder);
    if (known === undefined) starts.set(powder, [start]);
    else known.push(start);
    learnRun(memory, table, row, ATMOSPHERE_BAR, measured, blocks);
  }
  closeAllBlocks(table.gun, memory.open, blocks);
  return { blocks: blocks.sort((left, right) => left.start - right.start), starts };
}

/** Blocks that say too little of the pump: the analysis passes them over. */
const isUsable = ({ output, runs, minutes }: Block): boolean => Number.isFinite(output) && runs >= 2 && minutes > 0.5;

/**
 * Points of a gun's baseline since it began.
 *
 * @param needed runs with a powder after which the gun counts as known with it
 */
export function taughtPoints(runs: Runs, needed: (powder: string) => number): TaughtPoint[] {
  const { blocks, starts } = blocksOf(runs);
  return blocks.flatMap((block) => {
    if (!Number.isFinite(block.output)) return [];
    if (!isUsable(block)) return [pointOf(block, 'left-out', 'too short to tell')];
    const last = starts.get(block.powder)![needed(block.powder) - 1] ?? Number.POSITIVE_INFINITY;
    return [pointOf(block, block.start <= last ? 'taught' : 'later', '')];
  });
}

/** Points of runs that do not count, for this reason. */
export function leftOutPoints(runs: Runs, why: string): TaughtPoint[] {
  return blocksOf(runs).blocks.flatMap((block) => (isUsable(block) ? [pointOf(block, 'left-out', why)] : []));
}

function pointOf(
  { start, end, powder, flow, output, runs, minutes }: Block,
  kind: TaughtPoint['kind'],
  why: string,
): TaughtPoint {
  return { from: start, to: end, powder, air: Math.exp(flow), output: Math.exp(output), runs, minutes, kind, why };
}

/** At most `most` of these, evenly over time. */
export function thinned<One>(all: readonly One[], most: number): One[] {
  if (all.length <= most) return [...all];
  return Array.from({ length: most }, (_, index) => all[Math.floor((index * all.length) / most)]!);
}
