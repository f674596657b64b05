import type { Block } from '../baseline/block.ts';
import { watchGain } from '../baseline/gain-watch.ts';
import { isLikelierInsert } from '../baseline/lot-or-insert.ts';
import { standardisedLoss } from '../baseline/step-evidence.ts';
import { movedAlike } from './moved-alike.ts';
import type { Bench } from './site-view.ts';

/** Deviations from which a gain is gathered; what it comes to is weighed later. Source: own choice: by chance once in some ten thousand blocks. */
const GAIN_SHOWS = 4;

/**
 * Begins to gather a gain before its chart is sure of it, where it is just what the insert had lost: half of it goes into lot, shift and week within an hour, and the
 * chart rests again.
 *
 * @param since start of the first block since its chart left zero, epoch ms; null while it rests there
 */
export function watchInsert(bench: Bench, { powder, start }: Block, since: number | null): void {
  const { memory, pool } = bench;
  const gun = pool.guns[memory.id];
  if (gun === undefined || gun.watch !== null || powder === '') return;
  const trace = pool.gaussian.traces[gun.gain]!;
  if (!trace.active || standardisedLoss(trace) > -GAIN_SHOWS || !isLikelierInsert(pool.gaussian, gun)) return;
  if (movedAlike(bench, true).length === 0) watchGain(gun, since ?? start, memory.sprayHours);
}
