import { judgeAir, judgeLot } from './judge-common.ts';
import { judgeLines } from './judge-lines.ts';
import { judgeSensors } from './judge-sensors.ts';
import { judgeStep } from './judge-step.ts';
import { judgeWear } from './judge-wear.ts';
import type { Bench } from './site-view.ts';

/** Looks at everything about one gun after new blocks came in. */
export function judgeGun(bench: Bench): void {
  judgeStep(bench);
  judgeWear(bench);
  judgeLines(bench);
  judgeSensors(bench);
  judgeLot(bench);
  judgeAir(bench);
}
