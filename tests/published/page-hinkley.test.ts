import { describe, expect, it } from 'vitest';
import { Verdict } from '../../analyzer/detect/detector.ts';
import { pageHinkley } from '../reference-detectors/page-hinkley.ts';
import { fixture } from './fixture.ts';

interface PageHinkleyCases {
  readonly cases: readonly {
    readonly name: string;
    readonly x: readonly number[];
    readonly delta: number;
    readonly threshold: number;
    readonly direction: 'up' | 'down';
    readonly expected: { readonly PH: readonly number[]; readonly first_alarm_1based: number };
  }[];
  readonly library_defaults: { readonly min_instances: number; readonly delta: number; readonly threshold: number };
}

describe('Page–Hinkley', () => {
  // Source: definition of E. S. Page 1954 and D. V. Hinkley 1971 as given by J. Gama et al. 2014; see the fixture.
  const { cases, library_defaults } = fixture<PageHinkleyCases>('A-page-hinkley');

  for (const { name, x, delta, threshold, direction, expected } of cases)
    it(`follows the definition sample by sample on ${name}`, () => {
      const settings = pageHinkley.schema.parse({ delta, threshold, direction, fewest: 0 });
      const state = pageHinkley.init(settings);
      let first = 0;
      for (const [index, value] of x.entries()) {
        if (pageHinkley.step(settings, state, value) === Verdict.alarm && first === 0) first = index + 1;
        expect(state.sum - state.lowest).toBeCloseTo(expected.PH[index]!, 9);
      }
      expect(first).toBe(expected.first_alarm_1based);
    });

  it('has the usual defaults of streaming libraries', () => {
    const { fewest, delta, threshold } = pageHinkley.schema.parse({});
    expect({ min_instances: fewest, delta, threshold }).toMatchObject({
      min_instances: library_defaults.min_instances,
      delta: library_defaults.delta,
      threshold: library_defaults.threshold,
    });
  });
});
