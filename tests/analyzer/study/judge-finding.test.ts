import { describe, expect, test } from 'vitest';
import { judgeDue } from '../../../analyzer/study/judge-due.ts';
import { judgeFinding } from '../../../analyzer/study/judge-finding.ts';
import { dueParts, type Statement, statementsOf } from '../../../analyzer/study/statements.ts';
import { NOTHING_UNLOGGED, unloggedChanges } from '../../../analyzer/study/undecided-changes.ts';
import { type SpannedJudgement, wordOnFinding } from '../../../analyzer/study/word-on-finding.ts';
import type { Judgement } from '../../../collector/contract/index.ts';
import { findingOf, hour } from './finding-of.ts';

const said = (part: string, at: number, found: Statement['found'], changed = true): Statement => ({
  gun: 'gun-01',
  part,
  time: hour(at),
  found,
  changed,
});
const verdict = (
  finding: Parameters<typeof judgeFinding>[0],
  statements: Statement[],
  words: SpannedJudgement[] = [],
): string => judgeFinding(finding, statements, wordOnFinding(finding, words)).verdict;

describe('what became of a finding', () => {
  const open = findingOf('pump-insert', 10, 40);
  test.each([
    ['found worn while it was open', [said('pump-insert', 30, 'worn')], 'right'],
    ['found failed at an inspection', [said('pump-insert', 30, 'failed', false)], 'right'],
    ['found good', [said('pump-insert', 30, 'good')], 'false'],
    ['changed without a word, and the signal came back', [said('pump-insert', 30, null)], 'right'],
    ['another part was worn', [said('pump-seals', 30, 'worn')], 'false'],
    ['nothing done', [], 'false'],
    ['only before and after', [said('pump-insert', 5, 'worn'), said('pump-insert', 41, 'worn')], 'false'],
  ])('%s', (_what, statements, expected) => {
    expect(verdict(open, statements)).toBe(expected);
  });

  test('nobody can tell while a change that the air shows waits for a word, unless people found something', () => {
    const change = (noticed: number, part = 'pump-insert', time = noticed - 3) => ({
      ...{ gun: 'gun-01', part, time: hour(time), noticed: hour(noticed) },
    });
    const given = (undecided: ReturnType<typeof change>[], statements: Statement[] = []) =>
      judgeFinding(open, statements, undefined, { ...NOTHING_UNLOGGED, undecided }).verdict;
    expect(given([change(38)])).toBe('unknown');
    // On the limits: noticed as it was raised, done as it cleared; and beyond both.
    expect(given([change(10)])).toBe('unknown');
    expect(given([change(9)])).toBe('false');
    expect(given([change(50, 'pump-insert', 40)])).toBe('unknown');
    expect(given([change(50, 'pump-insert', 41)])).toBe('false');
    expect(given([change(38, 'pump-seals')])).toBe('false');
    expect(given([{ ...change(38), gun: 'gun-02' }])).toBe('false');
    expect(given([change(38)], [said('pump-seals', 30, 'worn')])).toBe('false');
    expect(given([change(38)], [said('pump-insert', 30, 'good')])).toBe('false');
    expect(given([change(38)], [said('pump-insert', 30, 'worn')])).toBe('right');
  });

  test('nobody can tell, either, of one from before the oldest change that is remembered of a gun that forgets', () => {
    // Each was dismissed: nobody has to say anything of those that are remembered.
    const remembered = (count: number, gun = 'gun-01') =>
      Array.from({ length: count }, (_, index) => ({
        ...{ gun, part: 'pump-insert', time: hour(20 + 100 * index), noticed: hour(24 + 100 * index) },
      }));
    const given = (
      finding: Parameters<typeof judgeFinding>[0],
      changes: ReturnType<typeof remembered>,
      statements: Statement[] = [],
    ) => judgeFinding(finding, statements, undefined, unloggedChanges(changes, [], changes));
    const judged = given(open, remembered(20));
    expect(judged.verdict).toBe('unknown');
    expect(judged.because).toMatch(/no longer known/);
    // While fewer are remembered than could be, none was forgotten.
    expect(given(open, remembered(19)).verdict).toBe('false');
    expect(given(open, remembered(20, 'gun-02')).verdict).toBe('false');
    // Raised at the time from which all is known, and after it.
    expect(given(findingOf('pump-insert', 24, 40), remembered(20)).verdict).toBe('unknown');
    expect(given(findingOf('pump-insert', 25, 40), remembered(20)).verdict).toBe('false');
    // The air never shows a change of a filter, and what people found tells as ever.
    expect(given(findingOf('conveying-filter', 10, 40), remembered(20)).verdict).toBe('false');
    expect(given(open, remembered(20), [said('pump-insert', 30, 'good')]).verdict).toBe('false');
    expect(given(open, remembered(20), [said('pump-seals', 30, 'worn')]).verdict).toBe('false');
    expect(given(open, remembered(20), [said('pump-insert', 30, 'worn')]).verdict).toBe('right');
    expect(given(findingOf('pump-insert', 10, null), remembered(20)).verdict).toBe('open');
  });

  test('another part that was the worn one is named as people say it', () => {
    const because = (part: string): string => judgeFinding(open, [said(part, 30, 'worn')], undefined).because;
    expect(because('pump-seals')).toBe('the pump seals were found worn instead');
    expect(because('nozzle')).toBe('the nozzle was found worn instead');
  });

  test('one that is still open waits, unless the part was found good', () => {
    const still = findingOf('pump-insert', 10, null);
    expect(verdict(still, [])).toBe('open');
    expect(verdict(still, [said('pump-seals', 30, 'worn')])).toBe('open');
    expect(verdict(still, [said('pump-insert', 30, 'good', false)])).toBe('false');
  });

  test("a person's word beats the log, also to say that nobody knows", () => {
    const word = (judged: Judgement['judged']): Judgement[] => [
      { gun: 'gun-01', cause: 'pump-insert', raised: hour(10), judged, reason: '' },
    ];
    expect(verdict(open, [said('pump-insert', 30, 'worn')], word('wrong'))).toBe('false');
    expect(verdict(open, [], word('right'))).toBe('right');
    expect(verdict(open, [], word('unsure'))).toBe('unknown');
    expect(verdict(open, [], [{ ...word('right')[0]!, raised: hour(41) }])).toBe('false');
  });

  test('a word holds for the same finding raised sooner or later by other settings, the one on just this finding first', () => {
    const word = (raised: number, until: number | null, judged: Judgement['judged']): SpannedJudgement => ({
      ...{ gun: 'gun-01', cause: 'pump-insert', reason: '', judged },
      ...{ raised: hour(raised), until: until === null ? null : hour(until) },
    });
    expect(verdict(open, [], [word(15, 40, 'right')])).toBe('right');
    expect(verdict(open, [], [word(5, 12, 'unsure')])).toBe('unknown');
    expect(verdict(open, [], [word(5, null, 'right')])).toBe('right');
    expect(verdict(open, [], [word(1, 9, 'right')])).toBe('false');
    expect(verdict(open, [], [word(10, 40, 'right'), word(12, 40, 'unsure')])).toBe('right');
    expect(verdict(findingOf('pump-seals', 10, 40), [], [word(10, 40, 'right')])).toBe('false');
  });

  test('causes that are no parts leave nothing in the log', () => {
    expect(verdict(findingOf('powder', 10, 40), [said('pump-insert', 30, 'worn')])).toBe('unknown');
    expect(verdict(findingOf('sensor:conveying/flow', 10, null), [])).toBe('open');
  });
});

describe('how a worn part was told of', () => {
  /** One spray hour a clock hour. */
  const hours = Float64Array.from({ length: 200 }, (_, index) => index);
  const clock = { ends: hours.map((h) => hour(h)), hours };
  const due = { gun: 'gun-01', part: 'pump-insert', time: hour(100), found: 'worn' as const };
  const judged = (raised: number, cleared: number | null, cause = 'pump-insert') =>
    judgeFinding(findingOf(cause, raised, cleared), [], undefined);

  test('in time, late, missed', () => {
    expect(judgeDue(due, [judged(60, null)], clock, 24)).toMatchObject({ told: 'in-time', leadSprayHours: 40 });
    expect(judgeDue(due, [judged(90, 101)], clock, 24)).toMatchObject({ told: 'late', leadSprayHours: 10 });
    expect(judgeDue(due, [judged(60, 90)], clock, 24)).toMatchObject({ told: 'missed', leadSprayHours: 0 });
    expect(judgeDue(due, [judged(101, null)], clock, 24)).toMatchObject({ told: 'missed', raised: null });
  });

  test('a part that was missed tells what was named instead', () => {
    expect(judgeDue(due, [judged(60, null, 'pump-seals')], clock, 24)).toMatchObject({
      told: 'missed',
      namedAs: 'pump-seals',
    });
  });

  test('a part found worn twice before its change is due once, and again after it', () => {
    const log = [
      [10, 'inspected', 'worn'],
      [20, 'replaced', 'worn'],
      [50, 'inspected', 'good'],
      [90, 'replaced', 'failed'],
      [120, 'replaced', null],
    ] as const;
    const entries = log.map(([at, action, found]) => ({
      ...{ time: hour(at), gun: 'gun-01', part: 'pump-insert' as const, action, found, note: '' },
    }));
    expect(dueParts(statementsOf(entries)).map(({ time }) => time)).toEqual([hour(10), hour(90)]);
  });
});
