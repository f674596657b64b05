import { filterLoss } from '../baseline/motive-line.ts';
import { ZERO_CHANNELS, type ZeroField, zerosOff } from '../detect/zero-tracker.ts';
import { clear, findOpen, raise, update } from './finding-book.ts';
import type { Bench } from './site-view.ts';

const UNITS: Record<ZeroField, string> = {
  conveyingFlow: 'm3/h',
  conveyingPressure: 'bar',
  supplementaryFlow: 'm3/h',
  supplementaryPressure: 'bar',
  output: 'g/min',
};

/** Judges a gun's sensors by what they show when nothing flows, and by a conductance that no filter makes. */
export function judgeSensors(bench: Bench): void {
  const { memory, now } = bench;
  const off = zerosOff(memory.zeros, now);
  for (const field of Object.keys(ZERO_CHANNELS) as ZeroField[]) {
    // A set or computed output has no zero of its own.
    if (field === 'output' && bench.gun.output !== 'measured') continue;
    const channel = ZERO_CHANNELS[field];
    const zero = memory.zeros[field];
    hold(bench, `zero:${channel}`, `sensor:${channel}`, off.includes(field), zero.since || now, [
      `${channel} shows ${zero.mean.toFixed(field === 'output' ? 0 : 3)} ${UNITS[field]} with the trigger released: its zero is off`,
    ]);
  }
  const loss = filterLoss(memory.conveying);
  if (loss !== null) {
    const rising = -loss.mean - 2.5 * loss.sd > 0.04 && memory.conveying.hours > 3;
    hold(bench, 'gain:conveying', 'sensor:conveying/flow', rising, now, [
      `more conveying air passes at the same pressure than ever before (${(100 * -loss.mean).toFixed(0)} %): no part does that, compare flow sensor and gauge`,
    ]);
  }
}

/** Keeps a function-check finding open while its condition holds. */
export function hold(
  bench: Bench,
  subject: string,
  cause: string,
  holds: boolean,
  onset: number,
  evidence: string[],
): void {
  const { memory, book, now, told } = bench;
  const open = findOpen(book, memory.id, subject);
  const verdict = {
    category: 'function-check' as const,
    candidates: [{ cause, probability: 0.95 }],
    excessAir: null,
    remaining: null,
    evidence,
  };
  if (open !== undefined) {
    if (holds) update(open, verdict, now, memory.sprayHours, told);
    else clear(book, open, now, memory.sprayHours, 'the reading is back to normal', told);
    return;
  }
  if (holds) raise(book, { gun: memory.id, cause, subject, onset, now, sprayHours: memory.sprayHours }, verdict, told);
}
