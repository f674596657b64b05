import type { EvaluationCase, FaultTruth, LifeTruth } from '../../../analyzer/replay/evaluation-case.ts';
import type { Finding } from '../../../collector/contract/index.ts';

const HOUR_MS = 3_600_000;
export const START = Date.UTC(2026, 2, 2);

/** Epoch ms of an hour of the hall's story. In it the gun sprays half of every hour. */
export const at = (hour: number): number => START + hour * HOUR_MS;
const iso = (hour: number): string => new Date(at(hour)).toISOString();

/** An insert that wears evenly to its limit of 0.2 in 100 hours (50 spray hours). */
export function life(change: Partial<LifeTruth> = {}): LifeTruth {
  const curve = Array.from({ length: 13 }, (_, index) => ({
    time: at(index * 10),
    sprayHours: index * 5,
    loss: 0.02 * index,
    excessAir: 0.018 * index,
  }));
  return {
    gun: 'gun-01',
    origin: 'logged',
    start: at(0),
    end: null,
    wearLimit: 0.2,
    curve,
    reached70: true,
    limitSprayHours: 50,
    ...change,
  };
}

export function fault(cause: string, onset: number, end: number | null, change: Partial<FaultTruth> = {}): FaultTruth {
  return {
    id: `${cause}@${onset}`,
    cause,
    guns: ['gun-01'],
    shape: 'step',
    onset: at(onset),
    end: end === null ? null : at(end),
    cured: end !== null,
    size: 0.1,
    reached70: null,
    sprayHours: 20,
    ...change,
  };
}

/** A finding raised at an hour; the leading candidate is its cause, unless told otherwise. */
export function finding(cause: string, raised: number, change: Partial<Finding> & { asOfHour?: number } = {}): Finding {
  const { asOfHour = raised, ...rest } = change;
  return {
    gun: 'gun-01',
    cause,
    category: 'maintenance-required',
    onset: iso(raised),
    raised: iso(raised),
    asOf: iso(asOfHour),
    cleared: null,
    candidates: [{ cause, probability: 0.8 }],
    excessAir: null,
    remaining: null,
    evidence: [],
    ...rest,
  };
}

export const clearedAt = (hour: number): Pick<Finding, 'cleared'> => ({ cleared: iso(hour) });

/** A hall of one gun over 120 hours; the gun's runs end every hour with half an hour of spraying. */
export function hall(story: Partial<EvaluationCase> & { lives?: readonly LifeTruth[] } = {}): EvaluationCase {
  const { lives = [], ...rest } = story;
  const findings = rest.findings ?? [];
  const clock = {
    ends: Float64Array.from({ length: 120 }, (_, index) => at(index + 1)),
    hours: Float64Array.from({ length: 120 }, (_, index) => (index + 1) / 2),
  };
  return {
    scenario: 'told',
    seed: 1,
    start: at(0),
    end: at(120),
    guns: [{ id: 'gun-01', channels: ['conveying/pressure', 'conveying/flow'], sprayHours: 60, lives, clock }],
    faults: [],
    traps: [],
    findings,
    snapshots: findings,
    ...rest,
  };
}
