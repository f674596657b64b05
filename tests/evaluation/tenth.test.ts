import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type CaseScore, measures } from '../../analyzer/index.ts';
import { evaluate } from '../../evaluation/evaluate.ts';
import { runCase } from '../../evaluation/run-case.ts';
import { textSink } from './text-sink.ts';

/** A tenth of the full set: five halls of twelve scenarios with four seeds each, with a seed that the full set does not use. */
const SCENARIOS = ['insert-lives', 'seals', 'filters', 'sensors', 'healthy-traps'];
const SEED = 11;

/**
 * What the tenth may not fall below. These are floors against getting worse, not the figures to reach: those are asked of the
 * full set (`driftline evaluate`), because five halls cannot tell 90 % from 80 %.
 */
const FLOORS: readonly (readonly [name: string, least: number, most: number])[] = [
  ['Inserts logged as new, flagged first at 35–90 % of the wear limit', 0.85, 1],
  ['Inserts already fitted at the start, flagged first at 35–90 %', 0.5, 1],
  ['Inserts logged as new, flagged too early', 0, 0.08],
  ['Inserts logged as new, flagged late or missed', 0, 0.1],
  ['False findings against a part', 0, 1],
  ['False findings against a part and inserts told too early, together', 0, 1.5],
  ['Traps that raised a finding against a part', 0, 0.04],
  ['Seal steps of 6–15 %, right cause first', 0.6, 1],
  ['Seal steps, delay with ripple fitted, median', 0, 1],
  ['Ramps of other parts, found before 70 % of their limit', 0.6, 1],
  ['Ramps of other parts, right cause first', 0.8, 1],
  ['Sensor faults recognised as function check', 0.8, 1],
  ['Silent stations found', 0.9, 1],
  ['Remaining life from half-life on, truth inside p10–p90', 0.6, 1],
  ['Remaining life, median error of p50', 0, 0.16],
  ['Cleared within 8 spray hours of the right change', 0.9, 1],
];

describe('a tenth of the evaluation', () => {
  const folder = mkdtempSync(join(tmpdir(), 'driftline-evaluation-'));
  const html = join(folder, 'report.html');
  const [stdout, stderr] = [textSink(), textSink()];
  let scores: CaseScore[] = [];
  beforeAll(async () => {
    scores = await evaluate({
      scenarios: SCENARIOS,
      seeds: [SEED],
      threads: 2,
      html,
      list: true,
      stdout,
      stderr,
      now: () => 0,
    });
  }, 600_000);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it.each(FLOORS)('%s is at least %d and at most %d', (name, least, most) => {
    const measure = measures(scores).find((one) => one.name === name)!;
    expect(measure.estimate, measure.basis).not.toBeNull();
    expect(measure.estimate!.value, measure.basis).toBeGreaterThanOrEqual(least);
    expect(measure.estimate!.value, measure.basis).toBeLessThanOrEqual(most);
  });

  it('is told as text with progress, and what went wrong hall by hall', () => {
    expect(stdout.text()).toContain('False findings against a part');
    expect(stdout.text()).toContain('What was there (rows) and how it was first found (columns):');
    for (const miss of scores.flatMap(({ misses }) => misses)) expect(stdout.text()).toContain(miss);
    expect(stderr.text()).toContain('5 of 5');
  });

  it('is told as a page with figures that needs nothing from elsewhere', () => {
    const page = readFileSync(html, 'utf8');
    expect(page).toMatch(/^<!doctype html>/);
    expect(page.match(/<svg /g)).toHaveLength(4);
    expect(page).not.toMatch(/NaN|undefined|<script|https?:/);
  });

  it('gives the same again for the same seed', () => {
    expect(runCase({ scenario: SCENARIOS[1]!, seed: SEED })).toEqual(scores[1]);
  }, 300_000);
});
