import { powderAt, type RunTable } from '../../collector/contract/index.ts';
import { learnZeros, type Zeros, zerosOf, zerosUnread } from '../detect/zero-tracker.ts';
import { addRun } from './add-run.ts';
import { type Block, closeAllBlocks, closeBlocks } from './block.ts';
import type { GunMemory } from './gun-memory.ts';
import { followJumps, isJumping } from './jumping-readings.ts';
import { PRIORS } from './pump-priors.ts';
import { addScalePull, noteMass } from './scale-pull.ts';

const DAY = 86_400_000;
/** First runs that wait for the zeros to be known, and not for longer: some nodes are silent when idle. Source: own choice, five to ten minutes. */
const FIRST_RUNS = 10;
/** Room for the zeros of the run that is taken in. */
const zeros: Zeros = { conveyingFlow: 0, conveyingPressure: 0, supplementaryFlow: 0, output: 0 };

/**
 * Takes one spray run into a gun's counters, zeros and open blocks.
 *
 * @param atmosphereBar absolute pressure outside
 * @param measured true when the output is a measurement: what a set or coupled value shows at idle is no zero
 * @param closed where the blocks that closed with it are added, oldest first
 */
export function learnRun(
  memory: GunMemory,
  table: RunTable,
  row: number,
  atmosphereBar: number,
  measured: boolean,
  closed: Block[],
): void {
  const c = table.columns;
  const start = c.start[row]!;
  const powder = powderAt(table, row);
  if (mayBeAnother(memory, powder, start)) closeAllBlocks(memory.id, memory.open, closed);
  else closeBlocks(memory.id, memory.open, start, closed);
  learnZeros(memory.zeros, table, row, measured);
  followJumps(memory.jumps, table, row);
  countRuns(memory, table, row, row + 1);
  followPulls(memory, c.end[row]!, c.sprayMs[row]!);
  let output = c.output[row]!;
  if (memory.source !== 'coupled') {
    if (Number.isFinite(output)) memory.source = 'value';
    else if (Number.isFinite(c.massEnd[row]!) && memory.runs < 200 && !hasOutputs(memory)) memory.source = 'scale';
  }
  if (memory.distrust.length > 0) {
    if (memory.distrust.includes('powder/output')) output = Number.NaN;
    if (memory.distrust.includes('conveying/flow') || memory.distrust.includes('conveying/pressure')) return;
  }
  if (isJumping(memory.jumps, 'flow') || isJumping(memory.jumps, 'pressure')) return;
  if (measured && isJumping(memory.jumps, 'output')) output = Number.NaN;
  if (memory.runs <= FIRST_RUNS && zerosUnread(memory.zeros, measured)) return;
  zerosOf(memory.zeros, zeros);
  if (measured && Number.isFinite(output)) output -= zeros.output;
  if (memory.source === 'scale') {
    const flow = c.conveyingFlow[row]! - zeros.conveyingFlow;
    const minutes = hoursOf(table, row) * 60;
    const mass = c.massStart[row]!;
    const pooled = addScalePull(memory.id, memory.scale, powder, start, c.end[row]!, minutes, mass, flow);
    noteMass(memory.scale, c.massEnd[row]!);
    if (pooled !== null) closed.push(pooled);
  }
  const evicted = addRun(memory.id, memory.open, table, row, powder, memory.source, zeros, output, atmosphereBar);
  if (evicted !== null) closed.push(evicted);
}

/** Takes the runs [from, to) into a gun's counters alone. */
export function countRuns(memory: GunMemory, table: RunTable, from: number, to: number): void {
  const { start, powder: powders } = table.columns;
  // Runs in a row with one powder are counted together.
  let first = from;
  for (let row = from; row < to; row++) {
    const hours = hoursOf(table, row);
    memory.sprayHours += hours;
    countShift(memory, start[row]!, hours);
    if (row + 1 < to && powders[row + 1] === powders[first]) continue;
    countPowder(memory, powderAt(table, first), row + 1 - first, start[first]!);
    first = row + 1;
  }
  memory.runs += to - from;
  if (to > from) memory.lastEnd = table.columns.end[to - 1]!;
}

function countPowder(memory: GunMemory, powder: string, runs: number, start: number): void {
  if (powder !== memory.powder) {
    memory.powder = powder;
    memory.powderSince = start;
  }
  memory.powderRuns[powder] = (memory.powderRuns[powder] ?? 0) + runs;
}

const hoursOf = ({ columns }: RunTable, row: number): number => columns.sprayMs[row]! / 3_600_000;

/** True after a pause in which a powder that is not read may have become another: the runs before and after are not averaged. */
function mayBeAnother({ pull, open }: GunMemory, powder: string, start: number): boolean {
  return powder === '' && open.length > 0 && start - pull.workEnd > PRIORS.hidden.pauseMinutes * 60_000;
}

/** Share of a usual pull below which one is a burst: a colour change begins with some, to blow the line clean (handbook section 4). Source: own choice. */
const BURST_SHARE = 0.5;
/** Pulls over which the usual length is reckoned. Source: own choice, a day or so. */
const USUAL_PULLS = 200;

/** Bursts of air do not end a pause. */
function followPulls({ pull, runs }: GunMemory, end: number, sprayMs: number): void {
  if (sprayMs >= BURST_SHARE * pull.usualMs) pull.workEnd = end;
  pull.usualMs += (sprayMs - pull.usualMs) / Math.min(runs, USUAL_PULLS);
}

const hasOutputs = (memory: GunMemory): boolean => memory.open.some((block) => block.outputs.length > 0);

/** Spray hours of a usual day with spraying: a running mean over some ten days. */
function countShift(memory: GunMemory, start: number, hours: number): void {
  const day = Math.floor(start / DAY);
  const { shift } = memory;
  if (day !== shift.day) {
    if (shift.hours > 0.05) {
      shift.days++;
      shift.usual += (shift.hours - shift.usual) / Math.min(shift.days, 10);
    }
    shift.day = day;
    shift.hours = 0;
  }
  shift.hours += hours;
}
