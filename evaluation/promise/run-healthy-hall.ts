import { replaySite } from '../../analyzer/index.ts';
import { isPartId, type Settings, settingsFor } from '../../collector/contract/index.ts';
import { healthyHall, type Truth } from '../../simulators/index.ts';
import { simulateHall } from '../simulated-hall.ts';

/** One healthy hall to simulate and to analyse with some settings. */
export interface HealthyTask {
  readonly settings: Settings;
  readonly seed: number;
}

/** What was found in a healthy hall. */
export interface HealthyOutcome {
  readonly seed: number;
  /** Calendar time of all guns in which no part was worth a visit, years. */
  readonly gunYears: number;
  /** What guns sprayed in all, hours. */
  readonly sprayHours: number;
  /** Findings against a part that was not worth a visit, in order of `raised`. */
  readonly wrong: readonly { readonly gun: string; readonly cause: string; readonly raised: string }[];
}

const YEAR_MS = 365.25 * 86_400_000;

/** Simulates a healthy hall, analyses it with the very code that runs live and lists what was found against parts. */
export function runHealthyHall({ settings, seed }: HealthyTask): HealthyOutcome {
  const smallestChange = settingsFor(settings, { gun: '', powder: '', part: 'pump-insert' }).smallestChange;
  const { truth, ...hall } = simulateHall(healthyHall(smallestChange), seed);
  const { findings } = replaySite({ ...hall, settings });
  const wrong = findings.flatMap(({ gun, cause, raised }) => {
    const of = truth.guns.find(({ id }) => id === gun);
    const isRight = of === undefined || (cause === 'pump-insert' && isWorn(of, Date.parse(raised), smallestChange));
    return gun !== null && isPartId(cause) && !isRight ? [{ gun, cause, raised }] : [];
  });
  const span = Date.parse(truth.end) - Date.parse(truth.start);
  return {
    seed,
    gunYears: truth.guns.reduce((sum, gun) => sum + (span / YEAR_MS) * healthyShare(gun, smallestChange), 0),
    sprayHours: truth.guns.reduce((sum, { sprayHours }) => sum + sprayHours, 0),
    wrong,
  };
}

type GunTruth = Truth['guns'][number];

/** True while the insert in use has lost more than what is worth a visit. */
function isWorn({ lives }: GunTruth, time: number, smallestChange: number): boolean {
  const life = lives.find(({ start, end }) => Date.parse(start) <= time && (end === null || time < Date.parse(end)));
  const at = life?.curve.filter((point) => Date.parse(point.time) <= time).at(-1);
  return (at?.excessAir ?? 0) > smallestChange;
}

/** Share of a gun's shifts after which its insert had lost less than what is worth a visit. */
function healthyShare({ lives }: GunTruth, smallestChange: number): number {
  const shifts = lives.flatMap(({ curve }) => curve);
  const healthy = shifts.filter(({ excessAir }) => (excessAir ?? 0) <= smallestChange);
  return shifts.length === 0 ? 1 : healthy.length / shifts.length;
}
