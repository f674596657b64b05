import { type CATEGORIES, isPartId, type Plant } from '../../collector/contract/index.ts';
import { type OpenFinding, toFinding } from '../diagnose/finding-book.ts';
import type { GunView, Job } from '../views.ts';
import { BENCH_CHECKS } from './bench-checks.ts';
import { CAUTIONS } from './cautions.ts';

const PART_WORDS: Readonly<Record<string, string>> = {
  'pump-insert': 'Change the pump insert',
  'pump-seals': 'Change the pump seals',
  'gun-seals': 'Change the seals at the gun’s base',
  'conveying-filter': 'Change the conveying filter',
  'supplementary-filter': 'Change the supplementary filter',
  'fluidizing-ring': 'Clean or change the fluidizing ring',
  'inlet-filter': 'Change the inlet filter',
  'powder-hose': 'Check the powder hose',
  'gun-tube': 'Clean the gun tube',
  'electrode-holder': 'Change the electrode holder',
  nozzle: 'Change the nozzle',
};

/** What to do, in the imperative. */
export function actionFor(cause: string): string {
  if (cause in PART_WORDS) return PART_WORDS[cause]!;
  if (cause === 'supply-air') return 'Look at the air supply';
  if (cause === 'powder') return 'Check powder and lot';
  if (cause === 'no-data') return 'Look at the sensor node: no data';
  if (cause === 'sensor:clock') return 'Set the clock of the sensor node';
  return `Check the sensor of ${cause.replace('sensor:', '')}`;
}

/** The check that tells the two likeliest parts apart: that of the likeliest that has one; none where one cause is as good as sure. */
function benchCheckFor({ candidates }: OpenFinding): Job['benchCheck'] {
  const parts = candidates.filter(({ cause }) => isPartId(cause));
  const first = parts[0]?.cause;
  return first !== undefined && isPartId(first) ? BENCH_CHECKS[first] : null;
}

/**
 * All jobs that open findings ask for, most pressing first: failures, then what is past its limit, then by the spray
 * hours that are left, then by how sure.
 */
export function makeJobs(plant: Plant, open: readonly OpenFinding[], views: readonly GunView[]): Job[] {
  const jobs = open.map((finding): Omit<Job, 'rank'> => {
    const cause = finding.candidates[0]?.cause ?? finding.cause;
    const view = views.find(({ id }) => id === finding.gun);
    const hours = finding.remaining;
    const perShift = view?.sprayHoursPerShift ?? null;
    const told = toFinding(finding);
    return {
      gun: finding.gun,
      gunName:
        view?.name ??
        finding.gun ??
        (finding.guns ?? []).map((id) => plant.guns.find((gun) => gun.id === id)?.name ?? id).join(', '),
      part: isPartId(cause) ? cause : null,
      cause,
      category: finding.category,
      action: actionFor(cause),
      reason: finding.evidence[0] ?? '',
      byShifts: hours === null || perShift === null || perShift <= 0 ? null : hours.p50 / perShift,
      bySprayHours: hours,
      probability: finding.candidates[0]?.probability ?? 0,
      candidates: told.candidates,
      benchCheck: benchCheckFor(finding),
      cautions: [...CAUTIONS],
      finding: { gun: finding.gun, cause: finding.cause, raised: told.raised },
      evidence: [...finding.evidence],
    };
  });
  jobs.sort(
    (left, right) =>
      pressing(left) - pressing(right) ||
      (left.bySprayHours?.p50 ?? 0) - (right.bySprayHours?.p50 ?? 0) ||
      right.probability - left.probability ||
      ((left.gun ?? '') < (right.gun ?? '') ? -1 : 1),
  );
  return jobs.map((job, index) => ({ rank: index + 1, ...job }));
}

/** Failure first, then past its limit, then parts, then checks of sensors. */
export function pressing({ category }: { category: (typeof CATEGORIES)[number] }): number {
  return ['failure', 'out-of-specification', 'maintenance-required', 'function-check'].indexOf(category);
}
