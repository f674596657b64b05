import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { byRaised } from '../../../analyzer/index.ts';
import { sprayHoursBetween } from '../../../analyzer/replay/spray-clock.ts';
import { Finding, isPartId } from '../../../collector/contract/index.ts';
import { runScenario, type ScenarioRun } from './run-scenario.ts';
import { readScenario, type ScenarioFile } from './scenario-file.ts';

const FILES = readdirSync(new URL('.', import.meta.url)).filter((name) => name.endsWith('.scenario.yaml'));

type Expected = ScenarioFile['expected']['findings'][number];

/** The finding that an expectation is about: the first of its gun and cause. */
function found({ replay }: ScenarioRun, { gun, cause }: Expected): Finding | undefined {
  return replay.findings.find((finding) => finding.gun === gun && finding.cause === cause);
}

function expectFinding(run: ScenarioRun, expected: Expected): void {
  const finding = found(run, expected);
  expect(finding, `${expected.gun} ${expected.cause}`).toBeDefined();
  const { category, guns, raised, cleared, excessAir } = finding!;
  expect(category).toBe(expected.category);
  expect(guns).toEqual(expected.guns);
  const clock = run.replay.clocks.get(expected.gun ?? expected.guns![0]!)!;
  const after = run.momentMs(expected.after);
  expect(Date.parse(raised)).toBeGreaterThanOrEqual(after);
  expect(sprayHoursBetween(clock, after, Date.parse(raised))).toBeLessThanOrEqual(expected.withinSprayHours);
  expect(cleared !== null, 'cleared').toBe(expected.cleared);
  if (expected.excessAir === null) expect(excessAir).toBeNull();
  if (expected.excessAirOff !== undefined) expectExcessAir(run, expected, expected.excessAirOff);
  if (expected.clearedWithinSprayHoursOfChange === undefined) return;
  const change = run.log.find(
    ({ gun, part, action, time }) =>
      gun === expected.gun && part === expected.cause && action === 'replaced' && time > Date.parse(raised),
  );
  expect(change, 'the change in the log').toBeDefined();
  expect(Date.parse(cleared!)).toBeGreaterThanOrEqual(change!.time);
  expect(sprayHoursBetween(clock, change!.time, Date.parse(cleared!))).toBeLessThanOrEqual(
    expected.clearedWithinSprayHoursOfChange,
  );
}

/** The insert of a gun as it really is: the last that the truth has of it before a time. */
function trueExcessAir({ truth }: ScenarioRun, gun: string | null, timeMs: number): number {
  const curves = truth.guns.filter(({ id }) => id === gun).flatMap(({ lives }) => lives.flatMap(({ curve }) => curve));
  return curves.filter(({ time }) => Date.parse(time) <= timeMs).at(-1)!.excessAir!;
}

function expectExcessAir(run: ScenarioRun, expected: Expected, most: number): void {
  const { replay } = run;
  const told = [...replay.snapshots, ...replay.findings].filter(
    ({ gun, cause }) => gun === expected.gun && cause === expected.cause,
  );
  for (const { excessAir, asOf } of told) {
    const off = Math.log1p(excessAir!) - Math.log1p(trueExcessAir(run, expected.gun, Date.parse(asOf)));
    expect(Math.abs(off), asOf).toBeLessThanOrEqual(most);
  }
}

/** What the contract says of every finding, whatever happened. */
function expectContract({ replay }: ScenarioRun): void {
  for (const finding of [...replay.findings, ...replay.snapshots]) {
    expect(Finding.parse(finding)).toEqual(finding);
    const { onset, raised, asOf, cleared, candidates, remaining } = finding;
    for (const time of [onset, raised, asOf]) expect(time).toMatch(/Z$/);
    expect(Date.parse(onset)).toBeLessThanOrEqual(Date.parse(raised));
    expect(Date.parse(raised)).toBeLessThanOrEqual(Date.parse(asOf));
    if (cleared !== null) expect(Date.parse(cleared)).toBeLessThanOrEqual(Date.parse(asOf));
    const shares = candidates.map(({ probability }) => probability);
    expect(shares).toEqual([...shares].sort((left, right) => right - left));
    expect(shares.length).toBeGreaterThan(0);
    expect(Math.min(...shares)).toBeGreaterThanOrEqual(0.02);
    expect(shares.reduce((sum, share) => sum + share, 0)).toBeLessThanOrEqual(1 + 1e-9);
    expect(new Set(candidates.map(({ cause }) => cause)).size).toBe(candidates.length);
    if (finding.cause === 'supply-air' && finding.gun === null) expect(finding.guns!.length).toBeGreaterThan(1);
    if (remaining !== null) {
      const { p10, p50, p90 } = remaining.sprayHours;
      expect(p10).toBeLessThanOrEqual(p50);
      expect(p50).toBeLessThanOrEqual(p90);
    }
  }
}

/** Snapshots are in order, begin when the finding was raised, and end as the finding is. */
function expectSnapshots({ replay }: ScenarioRun): void {
  const { findings, snapshots } = replay;
  expect(snapshots).toEqual([...snapshots].sort(byRaised));
  expect(findings).toEqual([...findings].sort(byRaised));
  const keyOf = ({ gun, cause, raised }: Finding): string => `${gun} ${cause} ${raised}`;
  expect(new Set(findings.map(keyOf)).size).toBe(findings.length);
  expect(new Set(snapshots.map(keyOf))).toEqual(new Set(findings.map(keyOf)));
  for (const finding of findings) {
    const told = snapshots.filter((snapshot) => keyOf(snapshot) === keyOf(finding));
    expect(told[0]!.asOf).toBe(finding.raised);
    expect(told.slice(0, -1).every(({ cleared }) => cleared === null)).toBe(true);
    if (finding.cleared !== null) expect(told.at(-1)).toEqual(finding);
  }
}

describe.each(FILES)('%s', (name) => {
  const file = readScenario(name);
  let ran: ScenarioRun | undefined;
  const run = (): ScenarioRun => {
    ran ??= runScenario(file);
    return ran;
  };

  it(file.story, () => {
    const { replay, guns } = run();
    for (const expected of file.expected.findings) expectFinding(run(), expected);
    const awaited = file.expected.findings.map((expected) => found(run(), expected));
    const others = replay.findings.filter((finding) => !awaited.includes(finding));
    const unwanted = others.filter(
      ({ cause }) =>
        file.expected.nothingElse ||
        file.expected.none.includes(cause) ||
        (file.expected.none.includes('part') && isPartId(cause)),
    );
    expect(unwanted).toEqual([]);
    // Nothing expected is only worth something where the guns were sprayed with.
    for (const gun of guns) expect(replay.clocks.get(gun)!.hours.at(-1)).toBeGreaterThan(15);
  }, 60_000);

  it('tells every finding as the contract has it', () => {
    expectContract(run());
  });

  it('tells its snapshots in order, from raised to the last state', () => {
    expectSnapshots(run());
  });
});
