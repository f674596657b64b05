import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineFlow, linePressure } from '../../../simulators/physics/air-line.ts';
import { ANR_DM3S_PER_NM3H } from '../../../simulators/physics/restriction.ts';

const line = fc.record({
  conductance: fc.double({ min: 0.05, max: 0.6, noNaN: true }),
  criticalRatio: fc.double({ min: 0.1, max: 0.52, noNaN: true }),
  filterLoss: fc.double({ min: 0, max: 0.8, noNaN: true }),
});

describe('a filter and a nozzle in series', () => {
  it('need the pressure at which they pass the flow', () => {
    fc.assert(
      fc.property(line, fc.double({ min: 1.2, max: 6, noNaN: true }), (one, p1) => {
        const flow = lineFlow(one, p1, 1, 293.15);
        expect(linePressure(one, flow, 1, 293.15)).toBeCloseTo(p1, 5);
      }),
    );
  });

  it('loses more conductance to its filter at low pressure than at high', () => {
    const clogged = { conductance: 0.25, criticalRatio: 0.35, filterLoss: 0.6 };
    const clean = { ...clogged, filterLoss: 0.05 };
    const left = (p1: number): number => lineFlow(clogged, p1, 1, 293.15) / lineFlow(clean, p1, 1, 293.15);
    expect(left(3)).toBeLessThan(left(5));
  });

  it('gives its filter away to pressure and flow, when choked', () => {
    // From the choked flow of ISO 6358-1:2013 behind a filter whose loss goes with flow over density: a = (p1 − q/C)·p1/q with q in dm³/s ANR over C; here back in bar²·h/Nm³.
    const one = { conductance: 0.25, criticalRatio: 0.35, filterLoss: 0.3 };
    const flow = lineFlow(one, 4, 1, 293.15);
    const behind = (flow * ANR_DM3S_PER_NM3H) / one.conductance;
    expect(((4 - behind) * 4) / flow).toBeCloseTo(0.3, 6);
  });
});
