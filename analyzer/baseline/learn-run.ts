import type { RunTable } from '../../collector/contract/index.ts';
import { learnZeros, zeroOf } from '../detect/zero-tracker.ts';
import { addRun, type Zeros } from './add-run.ts';
import { type Block, closeAllBlocks, closeBlocks } from './block.ts';
import type { GunMemory } from './gun-memory.ts';
import { PRIORS } from './pump-priors.ts';
import { addScalePull, noteMass } from './scale-pull.ts';

const DAY = 86_400_000;
const zeros: Zeros = { conveyingFlow: 0, conveyingPressure: 0, supplementaryFlow: 0, fluidizingFlow: 0 };

/**
 * Takes one spray run into a gun's counters, zeros and open blocks.
 *
 * @param atmosphereBar absolute pressure outside
 * @param measured true when the output is a measurement: what a set or coupled value shows at idle is no zero
 * @returns the blocks that closed with it, oldest first
 */
export function learnRun(
  memory: GunMemory,
  table: RunTable,
  row: number,
  atmosphereBar: number,
  measured: boolean,
): Block[] {
  const c = table.columns;
  const hours = c.sprayMs[row]! / 3_600_000;
  const start = c.start[row]!;
  const powder = table.powders[c.powder[row]!] ?? '';
  const closed = mayBeAnother(memory, powder, start)
    ? closeAllBlocks(memory.id, memory.open)
    : closeBlocks(memory.id, memory.open, start);
  learnZeros(memory.zeros, table, row, measured);
  memory.runs++;
  memory.sprayHours += hours;
  memory.insert.sprayHours += hours;
  memory.lastEnd = c.end[row]!;
  if (powder !== memory.powder) {
    memory.powder = powder;
    memory.powderSince = start;
  }
  memory.powderRuns[powder] = (memory.powderRuns[powder] ?? 0) + 1;
  countShift(memory, start, hours);
  let output = c.output[row]!;
  if (memory.source !== 'coupled') {
    if (Number.isFinite(output)) memory.source = 'value';
    else if (Number.isFinite(c.massEnd[row]!) && memory.runs < 200 && !hasOutputs(memory)) memory.source = 'scale';
  }
  if (memory.distrust.includes('powder/output')) output = Number.NaN;
  if (memory.distrust.includes('conveying/flow') || memory.distrust.includes('conveying/pressure')) return closed;
  zeros.conveyingFlow = zeroOf(memory.zeros, 'conveyingFlow');
  zeros.conveyingPressure = zeroOf(memory.zeros, 'conveyingPressure');
  zeros.supplementaryFlow = zeroOf(memory.zeros, 'supplementaryFlow');
  if (measured && Number.isFinite(output)) output -= zeroOf(memory.zeros, 'output');
  if (memory.source === 'scale') {
    const flow = c.conveyingFlow[row]! - zeros.conveyingFlow;
    const mass = c.massStart[row]!;
    const pooled = addScalePull(memory.id, memory.scale, powder, start, c.end[row]!, hours * 60, mass, flow);
    noteMass(memory.scale, c.massEnd[row]!);
    if (pooled !== null) closed.push(pooled);
  }
  const evicted = addRun(memory.id, memory.open, table, row, memory.source, zeros, output, atmosphereBar);
  if (evicted !== null) closed.push(evicted);
  return closed;
}

/** True after a pause in which a powder that is not read may have become another: the runs before and after are not averaged. */
function mayBeAnother({ lastEnd, open }: GunMemory, powder: string, start: number): boolean {
  return powder === '' && open.length > 0 && start - lastEnd > PRIORS.hidden.pauseMinutes * 60_000;
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
