import { judgeAir, judgeLot } from './judge-common.ts';
import { judgeLines } from './judge-lines.ts';
import { judgeSensors } from './judge-sensors.ts';
import { judgeStep } from './judge-step.ts';
import { judgeWear } from './judge-wear.ts';
import type { Bench } from './site-view.ts';

/**
 * Looks at everything about one gun after new blocks came in.
 *
 * @returns whether another look at the same time could see anything else, at this gun or another: a case or a proof ended, an insert was taken
 *   for new, or a finding was raised or cleared
 */
export function judgeGun(bench: Bench): boolean {
  const { memory, pool } = bench;
  const { step, insert } = memory;
  const proof = pool.guns[memory.id]?.proof;
  const findings = findingsOf(bench);
  judgeStep(bench);
  judgeWear(bench);
  judgeLines(bench);
  judgeSensors(bench);
  judgeLot(bench);
  judgeAir(bench);
  return (
    memory.step !== step ||
    memory.insert !== insert ||
    pool.guns[memory.id]?.proof !== proof ||
    findingsOf(bench) !== findings
  );
}

/** A number that is another one after any finding was raised or cleared: both only ever add to it. */
function findingsOf({ book, apart }: Bench): number {
  let count = book.open.length + 2 * book.closed.length;
  if (apart !== undefined) for (const own of apart) count += own.book.open.length + 2 * own.book.closed.length;
  return count;
}
