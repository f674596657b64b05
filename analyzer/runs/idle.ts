import type { CutState, IdleRing } from './cut-state.ts';
import {
  FLOW,
  OUTPUT,
  PRESSURE,
  SUPPLEMENTARY_FLOW,
  SUPPLEMENTARY_PRESSURE,
  SUPPLY_PRESSURE,
} from './pull-channels.ts';

/** Time after the release before lines are empty, and before a lagging output shows its zero, ms. Source: own choice. */
const LINES_EMPTY_MS = 8000;
const OUTPUT_ZERO_MS = 45_000;

/** Share of the usual conveying pressure above which air that flows at idle is purge or cleaning air. Source: own choice. */
const PURGE_SHARE = 0.3;

/** Keeps row `index` of a block as an idle reading, once the lines have emptied and no purge air blows. */
export function keepIdle(state: CutState, time: number, columns: readonly Float64Array[], index: number): void {
  const flow = columns[FLOW]![index]!;
  const pressure = columns[PRESSURE]![index]!;
  if (flow > state.levels.on && !(pressure < Math.max(0.1, PURGE_SHARE * state.usualPressure))) {
    state.released = time;
    return;
  }
  const age = time - state.released;
  if (age < LINES_EMPTY_MS) return;
  push(state.idle[FLOW]!, flow);
  push(state.idle[PRESSURE]!, pressure);
  push(state.idle[SUPPLEMENTARY_FLOW]!, columns[SUPPLEMENTARY_FLOW]![index]!);
  push(state.idle[SUPPLEMENTARY_PRESSURE]!, columns[SUPPLEMENTARY_PRESSURE]![index]!);
  push(state.idle[SUPPLY_PRESSURE]!, columns[SUPPLY_PRESSURE]![index]!);
  if (age >= OUTPUT_ZERO_MS) push(state.idle[OUTPUT]!, columns[OUTPUT]![index]!);
}

/** A new idle time begins. */
export function clearIdle(state: CutState): void {
  for (const ring of state.idle) {
    ring.count = 0;
    ring.next = 0;
  }
}

function push(ring: IdleRing, value: number): void {
  if (Number.isNaN(value)) return;
  ring.values[ring.next] = value;
  ring.next = ring.next + 1 === ring.values.length ? 0 : ring.next + 1;
  if (ring.count < ring.values.length) ring.count++;
}
