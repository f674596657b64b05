import { driftOf } from '../baseline/steady-level.ts';
import type { ShareBelief } from '../forecast/limit-share.ts';
import { type Candidate, tidyCandidates } from './finding-book.ts';
import type { Bench } from './site-view.ts';

/** How far ripple has grown with the loss, in deviations; null where it is not read. */
export function rippleGrowth({ memory }: Bench): number | null {
  // Ripple that came with a step is that step's.
  const ripple = memory.step === null ? driftOf(memory.ripple) : null;
  return ripple === null ? null : ripple.mean / Math.hypot(ripple.sd, 0.12);
}

/**
 * A slow loss: the insert, unless ripple has grown with it (a slow leak). One whose start is known is told once a third of its limit is as good as past; one of unknown age at the
 * better time, and that it is worn so far is only as likely as the other guns make it: else nothing is wrong.
 */
export function wearCandidates(growth: number | null, { worn = () => 1 }: ShareBelief): Candidate[] {
  const leakOdds =
    growth === null ? 0.04 : Math.exp(Math.min(6, Math.max(0, 0.5 * growth * growth * Math.sign(growth)))) * 0.025;
  const total = 1 + leakOdds + 0.02 + 0.02;
  return tidyCandidates([
    { cause: 'pump-insert', probability: worn() / total },
    { cause: 'pump-seals', probability: leakOdds / total },
    { cause: 'powder', probability: 0.02 / total },
    { cause: 'powder-hose', probability: 0.02 / total },
  ]);
}
