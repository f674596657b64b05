import { describe, expect, it } from 'vitest';
import { lifeBelief, type PastLife } from '../../../analyzer/forecast/past-lives.ts';
import { seededNormal } from '../../seeded-normal.ts';

const worn = (...clocks: number[]): PastLife[] => clocks.map((clock) => ({ clock, found: 'worn' }));

describe('what past lives say', () => {
  it('is nothing while none is complete, and nothing of inserts that were found good', () => {
    expect(lifeBelief(new Map(), 'gun-01')).toBeNull();
    expect(lifeBelief(new Map([['gun-01', [{ clock: 1, found: 'good' as const }]]]), 'gun-01')).toBeNull();
  });

  it('is drawn from the mean of all towards a gun that differs, the more the more lives it had', () => {
    const others = [...Array.from({ length: 5 }, (_, i) => [`gun-1${i}`, worn(1, 1, 1)] as const)];
    const once = lifeBelief(new Map([...others, ['gun-01', worn(2)]]), 'gun-01')!;
    const often = lifeBelief(new Map([...others, ['gun-01', worn(2, 2, 2, 2)]]), 'gun-01')!;
    expect(once.log).toBeGreaterThan(0.1);
    expect(often.log).toBeGreaterThan(once.log);
    expect(often.log).toBeLessThan(Math.log(2) + 0.04);
    expect(often.sd).toBeLessThan(once.sd);
  });

  it('is that of the others for a gun without past lives, less surely', () => {
    const all = new Map([
      ['gun-02', worn(1, 1.2)],
      ['gun-03', worn(0.9, 1)],
    ]);
    const stranger = lifeBelief(all, 'gun-01')!;
    expect(stranger.sd).toBeGreaterThan(lifeBelief(all, 'gun-02')!.sd);
    expect(Math.exp(stranger.log)).toBeCloseTo(1.05, 1);
  });

  it('takes what had failed as used beyond its limit', () => {
    const of = (found: PastLife['found']) => lifeBelief(new Map([['gun-01', [{ clock: 1, found }]]]), 'gun-01')!.log;
    expect(of('failed')).toBeLessThan(of('worn'));
  });

  it('covers four of five next lives where guns and lives differ as it expects', () => {
    const normal = seededNormal(3);
    let inside = 0;
    const halls = 400;
    for (let hall = 0; hall < halls; hall++) {
      const level = 0.22 * normal();
      const lives = new Map(
        Array.from({ length: 6 }, (_, gun) => {
          const own = gun === 0 ? level : 0.22 * normal();
          return [
            `gun-${gun}`,
            worn(...Array.from({ length: 3 }, () => Math.exp(own + 0.25 * normal() - 0.03))),
          ] as const;
        }),
      );
      const { log, sd } = lifeBelief(lives, 'gun-0')!;
      if (Math.abs(level + 0.25 * normal() - log) < 1.2816 * sd) inside++;
    }
    // Binomial: 0.8 ± 0.02.
    expect(inside / halls).toBeGreaterThan(0.74);
    expect(inside / halls).toBeLessThan(0.88);
  });
});
