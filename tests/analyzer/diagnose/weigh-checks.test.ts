import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { emptyBook, raise, update } from '../../../analyzer/diagnose/finding-book.ts';
import { checkFirst, checksInWords, likelihoodRatio, weighChecks } from '../../../analyzer/diagnose/weigh-checks.ts';

const two = [
  { cause: 'pump-seals', probability: 0.5 },
  { cause: 'gun-seals', probability: 0.4 },
];

describe('weighing candidates by checks', () => {
  // Bayes' rule by hand: 0.5 · (1 − 0.85)/0.9 = 0.0833 beside 0.4 and 0.1 for anything else, of 0.5833.
  test('is Bayes’ rule, with what the candidates leave open as another cause', () => {
    const weighed = weighChecks(two, [{ part: 'pump-seals', found: 'good' }]);
    expect(weighed).toEqual([
      { cause: 'gun-seals', probability: 0.686 },
      { cause: 'pump-seals', probability: 0.143 },
    ]);
  });

  test('takes the latest look at a part', () => {
    const looks = [
      { part: 'pump-seals', found: 'good' as const },
      { part: 'pump-seals', found: 'worn' as const },
    ];
    expect(weighChecks(two, looks)).toEqual(weighChecks(two, looks.slice(1)));
  });

  test('a wear gauge that enters to its shoulder speaks for the insert, one that stands off against it', () => {
    const gauge = (value: number) =>
      likelihoodRatio({ part: 'pump-insert', found: null, measured: { value, unit: 'mm' } });
    expect(gauge(0)).toBeGreaterThan(10);
    expect(gauge(22)).toBeLessThan(0.1);
    for (const value of [0, 4, 8, 12, 16]) expect(gauge(value)).toBeGreaterThanOrEqual(gauge(value + 4));
  });

  test('never sums above 1, and stays sorted', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('pump-insert', 'pump-seals', 'powder', 'gun-seals'), { minLength: 1 }),
        fc.constantFrom('good' as const, 'worn' as const, 'failed' as const),
        fc.double({ min: 0.05, max: 1, noNaN: true }),
        (causes, found, total) => {
          const names = [...new Set(causes)];
          const weighed = weighChecks(
            names.map((cause) => ({ cause, probability: total / names.length })),
            [{ part: 'pump-seals', found }],
          );
          expect(weighed.reduce((sum, { probability }) => sum + probability, 0)).toBeLessThanOrEqual(1.003);
          expect(weighed.map(({ probability }) => probability)).toEqual(
            weighed.map(({ probability }) => probability).sort((left, right) => right - left),
          );
        },
      ),
    );
  });
});

describe('the check that is asked for first', () => {
  test('is the one that leaves the least doubt where two causes are close', () => {
    expect(checkFirst(two, new Set())).toEqual({ part: 'gun-seals', separates: ['pump-seals', 'gun-seals'] });
    expect(checkFirst(two, new Set(['gun-seals']))?.part).toBe('pump-seals');
  });

  test('is that of the leading part where one is well ahead, and none once that was looked at', () => {
    const sure = [
      { cause: 'pump-insert', probability: 0.9 },
      { cause: 'pump-seals', probability: 0.05 },
    ];
    expect(checkFirst(sure, new Set())).toEqual({ part: 'pump-insert', separates: null });
    expect(checkFirst(sure, new Set(['pump-insert']))).toBeNull();
  });

  test('is the likeliest part’s where powder leads', () => {
    const powder = [
      { cause: 'powder', probability: 0.7 },
      { cause: 'pump-seals', probability: 0.2 },
    ];
    expect(checkFirst(powder, new Set())).toEqual({ part: 'pump-seals', separates: null });
  });
});

test('a check moves an open finding at its next look, and says so in its evidence', () => {
  const book = emptyBook();
  const judgement = {
    category: 'maintenance-required',
    candidates: two,
    excessAir: 0.1,
    remaining: null,
    evidence: ['a step'],
  } as const;
  const at = { gun: 'gun-01', cause: 'pump-seals', subject: 'step', onset: 0, now: 1, sprayHours: 1 };
  const finding = raise(book, at, judgement, []);
  finding.checks = [{ part: 'pump-seals', found: 'good' }];
  const told: unknown[] = [];
  update(finding, judgement, 2, 1.1, told as never);
  expect(finding.candidates[0]?.cause).toBe('gun-seals');
  expect(finding.evidence).toContain('the pump seals were looked at and found good');
  // A change of the order of candidates is material: it is told at once.
  expect(told).toHaveLength(1);
});

test('evidence names the latest check of each part that may be the cause, and no other', () => {
  const check = (part: string, found: 'good' | 'worn') => ({ part, found });
  const causes = new Set(['pump-insert', 'pump-seals']);
  expect(
    checksInWords([check('pump-seals', 'worn'), check('nozzle', 'good'), check('pump-seals', 'good')], causes),
  ).toEqual(['the pump seals were looked at and found good']);
});
