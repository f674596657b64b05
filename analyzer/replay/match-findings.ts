import { type Finding, isPartId, Settings } from '../../collector/contract/index.ts';
import { type EvaluationCase, excessAirAt, type FaultTruth, type LifeTruth, lossAt } from './evaluation-case.ts';

const HOUR_MS = 3_600_000;

/** A finding on the insert counts as true from this share of its wear limit. Source: own choice, because a change before a third of the life throws good parts away. */
export const EARLIEST_SHARE = 0.35;

/**
 * Excess air from which an insert is worth a visit, so that a finding on it is early and not made of nothing: the null of a ramp is wear below
 * that. Source: the settings' smallest change, as they come.
 */
const WORTH_A_VISIT = Settings.parse({}).smallestChange;

/**
 * How long after its end a fault still explains a finding: the evidence of common events is pooled, and comes later. Source: own choice.
 */
const GRACE_MS = { common: 24 * HOUR_MS, own: HOUR_MS };

/**
 * Normal things that are no fault of a part, yet rightly named by a finding of this cause. A line whose setting was lowered has lost the
 * same pressure in the same way as one that sags: no reading tells them apart.
 */
const NAMED_RIGHTLY: Readonly<Record<string, string>> = {
  'clock-offset': 'sensor:clock',
  'low-supply-setting': 'supply-air',
};

/** A node's clock may be wrong by up to this. Source: own choice, the wrong clocks of our scenarios. */
const CLOCK_MS = HOUR_MS;

/** What a finding is about in truth: a fault, an insert worn enough, or nothing. */
export interface Match {
  readonly finding: Finding;
  readonly raised: number;
  /** The finding as it was known when it was raised. */
  readonly asRaised: Finding;
  readonly fault: FaultTruth | null;
  readonly life: LifeTruth | null;
  /** Share of the wear limit when it was raised, for findings on an insert. */
  readonly share: number | null;
  /** For findings on an insert: it had worn by what is worth a visit when it was raised. */
  readonly worn: boolean;
}

/**
 * Matches every finding with what really was there when it was raised: the fault of its own cause first; else, for a finding on a
 * part or sensor, another fault of a part or sensor of that gun, which it then names wrongly: the one that it names most among its candidates, if any. Wear of the insert explains findings on the
 * insert only. One fault needs one open finding: where two seals leak and each is called by the other's name, the second finding is about the second leak.
 *
 * @returns one match a finding, in the findings' order; neither fault nor life means a false finding
 */
export function matchFindings(one: EvaluationCase): Match[] {
  const first = firstSnapshots(one.snapshots);
  const inTime = [...one.findings].sort((a, b) => Date.parse(a.raised) - Date.parse(b.raised));
  const matches = new Map<Finding, Match>();
  for (const finding of inTime) matches.set(finding, matchOne(one, finding, first, [...matches.values()]));
  return one.findings.map((finding) => matches.get(finding)!);
}

function matchOne(
  one: EvaluationCase,
  finding: Finding,
  first: ReadonlyMap<string, Finding>,
  before: readonly Match[],
): Match {
  const raised = Date.parse(finding.raised);
  const base = { finding, raised, asRaised: first.get(keyOf(finding)) ?? finding };
  const active = one.faults.filter((fault) => concerns(finding, fault) && isActive(fault, raised));
  const own = active.find((fault) => fault.cause === finding.cause) ?? trapNamed(one, finding, raised);
  const life = finding.cause === 'pump-insert' ? lifeOf(one, finding.gun, raised) : null;
  const share = life ? lossAt(life, raised) / life.wearLimit : null;
  const about = { ...base, share, worn: life !== null && excessAirAt(life, raised) >= WORTH_A_VISIT };
  if (own) return { ...about, fault: otherThan(own, active, base.asRaised, before) ?? own, life: null };
  if (life && share! >= EARLIEST_SHARE) return { ...about, fault: null, life };
  const others = active.filter((fault) => isNamedFor(finding.cause, fault.cause));
  const named = base.asRaised.candidates.flatMap(({ cause }) => others.filter((fault) => fault.cause === cause))[0];
  return { ...about, fault: named ?? others[0] ?? null, life: null };
}

/**
 * The fault that a finding is about instead of the one of its own cause: that has an open finding already, under whatever name, and the next one
 * beside it is about another fault of the gun that it names too and that has no finding yet.
 */
function otherThan(
  own: FaultTruth,
  active: readonly FaultTruth[],
  { candidates, gun, raised }: Finding,
  before: readonly Match[],
): FaultTruth | undefined {
  if (gun === null) return undefined;
  const told = (fault: FaultTruth): readonly Match[] => before.filter((match) => match.fault === fault);
  const isOpen = ({ finding }: Match): boolean => finding.cleared === null || finding.cleared > raised;
  if (!told(own).some(isOpen)) return undefined;
  return active.find(
    (fault) => fault !== own && candidates.some(({ cause }) => cause === fault.cause) && told(fault).length === 0,
  );
}

/** The trap that a finding names rightly, as a fault of that cause; undefined when there is none. */
function trapNamed(one: EvaluationCase, finding: Finding, raised: number): FaultTruth | undefined {
  const faults = one.traps
    .filter(({ kind }) => NAMED_RIGHTLY[kind] === finding.cause)
    .map(({ kind, guns, start, end }) => ({
      ...{ id: kind, cause: finding.cause, guns, shape: 'span' as const, onset: start, end },
      ...{ cured: false, size: 0, reached70: null, sprayHours: 0 },
    }));
  return faults.find((fault) => concerns(finding, fault) && isActive(fault, raised));
}

/** The insert that was in a gun at a time. */
export function lifeOf(one: EvaluationCase, gun: string | null, time: number): LifeTruth | null {
  const lives = one.guns.find(({ id }) => id === gun)?.lives ?? [];
  return lives.find(({ start, end }) => start <= time && (end === null || time < end)) ?? null;
}

/**
 * True when a finding may be a wrong name for a fault: both sit on one gun; or no data for a clock, because one that is set back and forth
 * leaves a gap in its own time.
 */
function isNamedFor(finding: string, fault: string): boolean {
  return (isOfGun(finding) && isOfGun(fault)) || (finding === 'no-data' && fault === 'sensor:clock');
}

/** A cause that sits on one gun: a part, or one of its sensors. */
function isOfGun(cause: string): boolean {
  return isPartId(cause) || cause.startsWith('sensor:');
}

function concerns(finding: Finding, fault: FaultTruth): boolean {
  return finding.gun === null
    ? (finding.guns ?? []).some((gun) => fault.guns.includes(gun))
    : fault.guns.includes(finding.gun);
}

function isActive({ cause, onset, end }: FaultTruth, time: number): boolean {
  const grace = cause === 'supply-air' || cause === 'powder' ? GRACE_MS.common : GRACE_MS.own;
  return time >= onset - CLOCK_MS && (end === null || time <= end + grace);
}

function keyOf({ gun, cause, raised }: Finding): string {
  return `${gun ?? ''} ${cause} ${raised}`;
}

function firstSnapshots(snapshots: readonly Finding[]): Map<string, Finding> {
  const first = new Map<string, Finding>();
  for (const snapshot of snapshots) {
    const known = first.get(keyOf(snapshot));
    if (!known || snapshot.asOf < known.asOf) first.set(keyOf(snapshot), snapshot);
  }
  return first;
}
