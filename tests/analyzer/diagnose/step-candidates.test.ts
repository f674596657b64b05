import { describe, expect, it } from 'vitest';
import { stepCandidates } from '../../../analyzer/diagnose/step-candidates.ts';
import type { StepSigns } from '../../../analyzer/diagnose/step-signs.ts';
import { stepBench } from './step-bench.ts';

/** Candidates of a step with these signs, likeliest first; '' is none. */
function candidatesOf(signs: Partial<StepSigns>) {
  const all = {
    loss: 0.15,
    lossSd: 0.03,
    elasticity: 1.9,
    ripple: null,
    rippleSd: 0,
    back: null,
    blind: false,
    unread: null,
  };
  const found = stepCandidates(stepBench().memory, { ...all, ...signs });
  return found.sort((left, right) => right.probability - left.probability);
}
const probabilityOf = (cause: string, signs: Partial<StepSigns>): number =>
  candidatesOf(signs).find((candidate) => candidate.cause === cause)!.probability;

describe('a hose', () => {
  it.each([
    ['where the nozzle is choked', null],
    ['where the pressure behind it is as before', { mean: 0, sd: 0.01 }],
    ['where that pressure is not known well enough', { mean: 0.04, sd: 0.04 }],
  ])('does not lead %s', (_, back) => {
    expect(candidatesOf({ loss: 0.6, back })[0]!.cause).not.toBe('powder-hose');
  });

  it('leads when the pressure behind an unchoked nozzle has risen', () => {
    expect(candidatesOf({ back: { mean: 0.08, sd: 0.015 } })[0]!.cause).toBe('powder-hose');
  });
});

describe('seals at the gun’s base', () => {
  const leaks = { loss: 0.11, ripple: 0.8, rippleSd: 0.06 };

  it('are likelier where the pressure behind the nozzle has fallen', () => {
    const fallen = probabilityOf('gun-seals', { ...leaks, back: { mean: -0.04, sd: 0.015 } });
    expect(fallen).toBeGreaterThan(probabilityOf('gun-seals', leaks) + 0.1);
  });

  it('are as likely as before where readings hardly tell that pressure', () => {
    const hardly = probabilityOf('gun-seals', { ...leaks, back: { mean: 0, sd: 0.3 } });
    expect(hardly).toBeCloseTo(probabilityOf('gun-seals', leaks), 2);
  });
});
