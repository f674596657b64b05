import { type Finding, isPartId } from '../../collector/contract/index.ts';
import type { CaseScore, FaultOutcome, FindingOutcome, ForecastOutcome, LifeOutcome } from './case-score.ts';
import {
  type EvaluationCase,
  type FaultTruth,
  type GunCase,
  type LifeTruth,
  lifeHoursAt,
  lossAt,
} from './evaluation-case.ts';
import { lifeOf, type Match, matchFindings } from './match-findings.ts';
import { misses } from './misses.ts';
import { sprayHoursBetween } from './spray-clock.ts';

const YEAR_MS = 365.25 * 86_400_000;

/** Spray hours within which a finding has to clear after the right change. Source: own choice, because a shift later people want to know. */
const CLEAR_WITHIN = 8;

/** Channels without which a fault of a part leaves no trace. Source: own choice, because the part sits in that line alone. */
const SEEN_BY: Readonly<Record<string, readonly string[]>> = {
  'supplementary-filter': ['supplementary/pressure', 'supplementary/flow'],
  'fluidizing-ring': ['fluidizing/pressure', 'fluidizing/flow'],
  'inlet-filter': ['supply/pressure'],
};

/**
 * Scores one hall: its findings against its truth.
 *
 * @param one truth and findings, with the findings as they were known over time
 * @returns outcomes that can be pooled over halls
 */
export function scoreCase(one: EvaluationCase): CaseScore {
  const matches = matchFindings(one);
  return {
    scenario: one.scenario,
    seed: one.seed,
    sprayHours: one.guns.reduce((sum, { sprayHours }) => sum + sprayHours, 0),
    gunYears: (one.guns.length * (one.end - one.start)) / YEAR_MS,
    lives: one.guns.flatMap(({ lives }) =>
      lives.filter(({ reached70 }) => reached70).map((life) => scoreLife(life, matches)),
    ),
    faults: one.faults.map((fault) => scoreFault(one, fault, matches)),
    traps: one.traps.map((trap) => ({
      kind: trap.kind,
      raised: matches.some(
        ({ finding, raised, fault, life }) =>
          isPartId(finding.cause) &&
          !fault &&
          !life &&
          trap.guns.includes(finding.gun ?? '') &&
          raised >= trap.start &&
          raised <= trap.end,
      ),
    })),
    findings: matches.map(scoreFinding),
    forecasts: scoreForecasts(one),
    clearings: scoreClearings(one, matches),
    misses: misses(one, matches),
  };
}

function scoreLife(life: LifeTruth, matches: readonly Match[]): LifeOutcome {
  const first = matches
    .filter(
      ({ finding, raised }) => finding.cause === 'pump-insert' && finding.gun === life.gun && isWithin(life, raised),
    )
    .sort((a, b) => a.raised - b.raised)[0];
  return { gun: life.gun, origin: life.origin, flaggedAt: first ? lossAt(life, first.raised) / life.wearLimit : null };
}

function isWithin({ start, end }: LifeTruth, time: number): boolean {
  return time >= start && (end === null || time < end);
}

function scoreFault(one: EvaluationCase, fault: FaultTruth, matches: readonly Match[]): FaultOutcome {
  const first = matches.filter((match) => match.fault === fault).sort((a, b) => a.raised - b.raised)[0];
  const guns = one.guns.filter(({ id }) => fault.guns.includes(id));
  const place = first ? first.asRaised.candidates.findIndex(({ cause }) => cause === fault.cause) : -1;
  const needed = SEEN_BY[fault.cause] ?? [];
  return {
    id: `${one.scenario}/${one.seed}/${fault.id}`,
    cause: fault.cause,
    shape: fault.shape,
    size: fault.size,
    sprayHours: fault.sprayHours,
    visible: guns.every(
      (gun) => needed.every((channel) => gun.channels.includes(channel)) && !isBlindTo(gun, fault.cause),
    ),
    ripple: guns.every(({ channels }) => channels.includes('conveying/ripple')),
    found: first?.finding.cause ?? null,
    category: first?.asRaised.category ?? null,
    rank: place >= 0 ? place + 1 : null,
    delay: first ? Math.min(...guns.map(({ clock }) => sprayHoursBetween(clock, fault.onset, first.raised))) : null,
    before70: fault.reached70 === null ? null : first !== undefined && first.raised <= fault.reached70,
  };
}

/**
 * An output that the unit computes from the air says nothing of what the air lifts (contract section 3): a leak shows in ripple alone there, and where that is
 * not fitted either, in nothing.
 */
function isBlindTo({ channels, output }: GunCase, cause: string): boolean {
  return cause.endsWith('-seals') && output === 'coupled' && !channels.includes('conveying/ripple');
}

function scoreFinding({ finding, asRaised, fault, life, share, worn }: Match): FindingOutcome {
  const leading = asRaised.candidates[0];
  const truth = fault?.cause ?? (life ? 'pump-insert' : null);
  return {
    cause: finding.cause,
    probability: leading?.probability ?? 0,
    right: leading !== undefined && leading.cause === truth,
    isFalse: truth === null,
    ...{ share, worn },
  };
}

/** Every forecast that was shown for an insert between half its life and its limit. */
function scoreForecasts(one: EvaluationCase): ForecastOutcome[] {
  const outcomes: ForecastOutcome[] = [];
  for (const { gun, cause, asOf, cleared, remaining } of one.snapshots) {
    if (cause !== 'pump-insert' || remaining === null || cleared !== null) continue;
    const time = Date.parse(asOf);
    const life = lifeOf(one, gun, time);
    if (!life?.reached70 || life.limitSprayHours === null) continue;
    const hours = lifeHoursAt(life, time);
    const left = life.limitSprayHours - hours;
    if (hours < life.limitSprayHours / 2 || left <= 0) continue;
    const { p10, p50, p90 } = remaining.sprayHours;
    outcomes.push({
      life: `${one.scenario}/${one.seed}/${gun}/${life.start}`,
      inside: left >= p10 && left <= p90,
      error: Math.abs(p50 - left) / life.limitSprayHours,
      width: (p90 - p10) / life.limitSprayHours,
    });
  }
  return outcomes;
}

/** Right changes with an open finding about what they cured; those without 8 spray hours after them count only when cleared. */
function scoreClearings(one: EvaluationCase, matches: readonly Match[]): { cause: string; inTime: boolean }[] {
  const outcomes: { cause: string; inTime: boolean }[] = [];
  const judge = (cause: string, gun: GunCase | undefined, changed: number, about: readonly Match[]): void => {
    const open = about.filter(({ raised, finding }) => raised < changed && isOpenAt(finding, changed));
    if (!gun || open.length === 0) return;
    const inTime = open.every(
      ({ finding: { cleared } }) =>
        cleared !== null && sprayHoursBetween(gun.clock, changed, Date.parse(cleared)) <= CLEAR_WITHIN,
    );
    if (inTime || sprayHoursBetween(gun.clock, changed, one.end) > CLEAR_WITHIN) outcomes.push({ cause, inTime });
  };
  for (const fault of one.faults)
    if (fault.cured && fault.end !== null) {
      const about = matches.filter((match) => match.fault === fault && match.finding.cause === fault.cause);
      judge(
        fault.cause,
        one.guns.find(({ id }) => id === fault.guns[0]),
        fault.end,
        about,
      );
    }
  for (const gun of one.guns)
    for (const life of gun.lives)
      if (life.end !== null)
        judge(
          'pump-insert',
          gun,
          life.end,
          matches.filter((match) => match.life === life),
        );
  return outcomes;
}

function isOpenAt({ cleared }: Finding, time: number): boolean {
  return cleared === null || Date.parse(cleared) > time;
}
