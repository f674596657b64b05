import { expect, test } from 'vitest';
import type { SiteHistory } from '../../../analyzer/index.ts';
import { compareStudies } from '../../../analyzer/study/compare-studies.ts';
import type { JudgedFinding } from '../../../analyzer/study/judge-finding.ts';
import type { Study } from '../../../analyzer/study/study.ts';
import { tallyOf } from '../../../analyzer/study/study-score.ts';
import { Plant, Settings } from '../../../collector/contract/index.ts';
import { findingOf, hour } from './finding-of.ts';

const plant = Plant.parse({ site: { id: 'hall-1', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] });
const span = { firstTime: hour(0), lastTime: hour(200), upTo: hour(200) };
const history: SiteHistory = { plant, log: [], tracks: new Map(), settings: [], judgements: [], ...span };

/** What settings find from hour 100 on, of findings raised and cleared at these hours. */
function studyOf(raisedAndCleared: readonly (readonly [number, number | null])[]): Study {
  const judged = raisedAndCleared.map(([raised, cleared]): JudgedFinding => {
    const finding = findingOf('pump-insert', raised, cleared);
    const times = { raised: hour(raised), cleared: cleared === null ? null : hour(cleared) };
    return { finding, ...times, verdict: 'right', because: 'the part was found worn' };
  });
  const findings = judged.filter(({ raised }) => raised >= hour(100));
  return {
    ...{ from: hour(100), to: hour(200), settings: Settings.parse({}), findings, due: [], watched: new Map() },
    before: judged.filter(({ raised }) => raised < hour(100)),
    total: tallyOf(findings, [], 0),
  };
}

const kinds = (before: Study, after: Study): string[] => compareStudies(history, before, after).map(({ kind }) => kind);

test('a finding that the other settings raise before the span is earlier or later, never gone or new', () => {
  const [at110, at90] = [studyOf([[110, 150]]), studyOf([[90, 150]])];
  expect(kinds(at110, at90)).toEqual(['earlier']);
  expect(kinds(at90, at110)).toEqual(['later']);
});

test('what both raise before the span is none of its changes', () => {
  expect(kinds(studyOf([[80, 150]]), studyOf([[90, 150]]))).toEqual([]);
  expect(kinds(studyOf([[80, 99]]), studyOf([]))).toEqual([]);
});

test('on the begin of the span a finding is within it', () => {
  expect(kinds(studyOf([[100, 150]]), studyOf([]))).toEqual(['gone']);
  expect(kinds(studyOf([]), studyOf([[100, null]]))).toEqual(['new']);
});

test('two of one part that were never open together are two', () => {
  expect(kinds(studyOf([[80, 99]]), studyOf([[110, 150]]))).toEqual(['new']);
});
