import { driftOf } from '../baseline/steady-level.ts';
import type { ShareBelief } from '../forecast/limit-share.ts';
import { type Candidate, tidyCandidates } from './finding-book.ts';
import type { Bench } from './site-view.ts';

/**
 * A slow loss: the insert, unless ripple has grown with it (a slow leak). One whose start is known is told once a third of its limit is as good as past; one of unknown age at the
 * better time, and that it is worn so far is only as likely as the other guns make it: else nothing is wrong.
 */
export function wearCandidates({ memory }: Bench, { worn = () => 1 }: ShareBelief): Candidate[] {
  // Ripple that came with a step is that step's.
  const ripple = memory.step === null ? driftOf(memory.ripple) : null;
  const growth = ripple === null ? 0 : ripple.mean / Math.hypot(ripple.sd, 0.12);
  const leakOdds =
    Math.exp(Math.min(6, Math.max(0, 0.5 * growth * growth * Math.sign(growth)))) * (ripple === null ? 0.04 : 0.025);
  const total = 1 + leakOdds + 0.02 + 0.02;
  return tidyCandidates([
    { cause: 'pump-insert', probability: worn() / total },
    { cause: 'pump-seals', probability: leakOdds / total },
    { cause: 'powder', probability: 0.02 / total },
    { cause: 'powder-hose', probability: 0.02 / total },
  ]);
}
