import { isPartId } from '../../collector/contract/index.ts';
import { relearnGun } from '../baseline/relearn.ts';
import { clear } from './finding-book.ts';
import { wearState } from './judge-wear.ts';
import type { Bench } from './site-view.ts';

/** From now on the gun's baseline is learnt anew; how it stood until then is kept beside. */
export function learnAnew(bench: Bench, time: number): void {
  const { memory, pool } = bench;
  const excess = memory.runs === 0 ? null : (wearState(bench)?.excess ?? null);
  const before = excess === null ? null : { wear: excess.wear, wearSd: excess.wearSd };
  relearnGun(memory, pool, time, before);
}

/** Ends the open findings of a gun that rest on the baseline that is left; what sensors and supply show rests on none. */
export function endForLearning({ memory, book, now, told }: Bench, anew: boolean): void {
  const why = anew
    ? 'the baseline is learnt anew, because an engineer said so: what was raised on the one before rests'
    : 'the baseline of before holds again, because an engineer said so: what was raised on the other one rests';
  for (const finding of [...book.open])
    if (finding.gun === memory.id && (isPartId(finding.cause) || finding.cause === 'powder'))
      clear(book, finding, now, memory.sprayHours, why, told);
}
