import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  clear,
  emptyBook,
  type FindingBook,
  findOpen,
  type Judgement,
  type OpenFinding,
  raise,
  tidyCandidates,
  toFinding,
  update,
} from '../../../analyzer/diagnose/finding-book.ts';
import { Finding } from '../../../collector/contract/index.ts';

const RAISED = Date.UTC(2026, 2, 9, 13, 25);
const HOUR = 3_600_000;

const judgement = (change: Partial<Judgement> = {}): Judgement => ({
  category: 'maintenance-required',
  candidates: [
    { cause: 'pump-insert', probability: 0.7 },
    { cause: 'pump-seals', probability: 0.2 },
  ],
  excessAir: 0.118,
  remaining: { p10: 22, p50: 37, p90: 61 },
  evidence: ['because'],
  ...change,
});

interface Case {
  readonly book: FindingBook;
  readonly finding: OpenFinding;
  readonly told: Finding[];
}

function raised(verdict = judgement(), onset = RAISED - HOUR): Case {
  const book = emptyBook();
  const told: Finding[] = [];
  const at = { gun: 'gun-01', cause: 'pump-insert', subject: 'wear', onset, now: RAISED, sprayHours: 100 };
  return { book, finding: raise(book, at, verdict, told), told };
}

/** True when a judgement after the first is a material change. */
function isTold(verdict: Judgement, sprayHours = 100, first = judgement()): boolean {
  const { finding, told } = raised(first);
  update(finding, verdict, RAISED + HOUR, sprayHours, told);
  return told.length === 2;
}

describe('raising', () => {
  it('tells the finding as it is known then', () => {
    const { finding, told } = raised();
    expect(told).toEqual([toFinding(finding)]);
    expect(Finding.parse(told[0])).toEqual(told[0]);
  });

  it('puts the onset no later than the time at which it was raised', () => {
    expect(raised(judgement(), RAISED + 1).finding.onset).toBe(RAISED);
    expect(raised(judgement(), RAISED).finding.onset).toBe(RAISED);
    expect(raised(judgement(), RAISED - 1).finding.onset).toBe(RAISED - 1);
  });

  it('keeps the finding open under its gun and subject', () => {
    const { book, finding } = raised();
    expect(findOpen(book, 'gun-01', 'wear')).toBe(finding);
    expect(findOpen(book, 'gun-02', 'wear')).toBeUndefined();
    expect(findOpen(book, 'gun-01', 'step')).toBeUndefined();
  });

  it('names the guns only of what is common to several', () => {
    const told: Finding[] = [];
    const at = { gun: null, guns: ['gun-01', 'gun-02'], cause: 'supply-air', subject: 'supply:', onset: RAISED };
    raise(emptyBook(), { ...at, now: RAISED, sprayHours: 0 }, judgement(), told);
    expect(told[0]!.guns).toEqual(['gun-01', 'gun-02']);
    expect(raised().told[0]).not.toHaveProperty('guns');
  });
});

// Source of what is material: contract section 6.
describe('what is told while a finding is open', () => {
  it('is nothing where nothing changed', () => {
    expect(isTold(judgement())).toBe(false);
  });

  it('is another category', () => {
    expect(isTold(judgement({ category: 'out-of-specification' }))).toBe(true);
  });

  it('is another order of candidates, however little their probabilities moved', () => {
    const close = (first: string, second: string): Judgement =>
      judgement({
        candidates: [
          { cause: first, probability: 0.41 },
          { cause: second, probability: 0.4 },
        ],
      });
    expect(isTold(close('pump-seals', 'gun-seals'), 100, close('gun-seals', 'pump-seals'))).toBe(true);
  });

  it('is a candidate that came, and one that went', () => {
    const two = judgement();
    const one = judgement({ candidates: [{ cause: 'pump-insert', probability: 0.7 }] });
    expect(isTold(two, 100, one)).toBe(true);
    expect(isTold(one, 100, two)).toBe(true);
  });

  it.each([
    [0.72, false],
    [0.749, false],
    [0.751, true],
    [0.651, false],
    [0.649, true],
  ])('is a probability that moved from 0.7 to %f: %s', (probability, expected) => {
    const candidates = [
      { cause: 'pump-insert', probability },
      { cause: 'pump-seals', probability: 0.2 },
    ];
    expect(isTold(judgement({ candidates }))).toBe(expected);
  });

  it.each([
    [37 * 1.09, false],
    [37 * 1.11, true],
    [37 * 0.91, false],
    [37 * 0.89, true],
  ])('is a median of the remaining life that moved from 37 to %f: %s', (p50, expected) => {
    expect(isTold(judgement({ remaining: { p10: 5, p50, p90: 90 } }))).toBe(expected);
  });

  it('is a remaining life that came, and one that went', () => {
    const none = judgement({ remaining: null });
    expect(isTold(none)).toBe(true);
    expect(isTold(judgement({ remaining: { p10: 0, p50: 0, p90: 1 } }), 100, none)).toBe(true);
  });

  it.each([
    [107.9, false],
    [108, true],
    [108.1, true],
  ])('is at least one snapshot per 8 spray hours: raised at 100, at %f: %s', (sprayHours, expected) => {
    expect(isTold(judgement(), sprayHours)).toBe(expected);
  });

  it('is measured against what was told last, so that small steps add up', () => {
    const { finding, told } = raised();
    for (const probability of [0.72, 0.74, 0.76]) {
      const candidates = [
        { cause: 'pump-insert', probability },
        { cause: 'pump-seals', probability: 0.2 },
      ];
      update(finding, judgement({ candidates }), RAISED + HOUR, 100, told);
    }
    expect(told.map(({ candidates }) => candidates[0]!.probability)).toEqual([0.7, 0.76]);
  });

  it('is not changed afterwards by what comes later', () => {
    const { book, finding, told } = raised();
    const before = structuredClone(told[0]);
    update(finding, judgement({ category: 'failure', evidence: ['other'] }), RAISED + HOUR, 101, told);
    clear(book, finding, RAISED + 2 * HOUR, 102, 'gone', told);
    expect(told[0]).toEqual(before);
  });
});

describe('clearing', () => {
  it('is told, with the reason first, and ends the finding', () => {
    const { book, finding, told } = raised();
    clear(book, finding, RAISED + HOUR, 101, 'the signal is back', told);
    expect(told.at(-1)).toMatchObject({ cleared: new Date(RAISED + HOUR).toISOString(), asOf: told.at(-1)!.cleared });
    expect(told.at(-1)!.evidence).toEqual(['the signal is back', 'because']);
    expect([book.open, book.closed]).toEqual([[], [finding]]);
  });

  it('leaves the other open findings as they are', () => {
    const { book, finding, told } = raised();
    const at = { gun: 'gun-02', cause: 'pump-seals', subject: 'step', onset: RAISED, now: RAISED, sprayHours: 5 };
    const other = raise(book, at, judgement(), told);
    clear(book, finding, RAISED + HOUR, 101, 'gone', told);
    expect(book.open).toEqual([other]);
  });
});

describe('candidates', () => {
  it.each([
    [0.0199, 0],
    [0.02, 1],
    [0.021, 1],
  ])('are told from 2 %% on: %f gives %i', (probability, count) => {
    expect(tidyCandidates([{ cause: 'powder', probability }])).toHaveLength(count);
  });

  it('are the highest first, 2 % or more each, and sum to at most 1, whatever was judged', () => {
    const candidate = fc.record({
      cause: fc.constantFrom('pump-insert', 'pump-seals', 'gun-seals', 'powder'),
      probability: fc.double({ min: 0, max: 1, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.uniqueArray(candidate, { selector: ({ cause }) => cause }), (candidates) => {
        const tidy = tidyCandidates(candidates).map(({ probability }) => probability);
        expect(tidy).toEqual([...tidy].sort((left, right) => right - left));
        for (const probability of tidy) expect(probability).toBeGreaterThanOrEqual(0.02);
        expect(tidy.reduce((sum, probability) => sum + probability, 0)).toBeLessThanOrEqual(1 + 1e-12);
      }),
    );
  });
});
