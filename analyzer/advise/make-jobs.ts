import { type CATEGORIES, isPartId, type Plant, withPowderNamed } from '../../collector/contract/index.ts';
import { type Candidate, type OpenFinding, toFinding } from '../diagnose/finding-book.ts';
import { intervalOf } from '../forecast/remaining-life.ts';
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

/** Checks from the easiest to those that take something apart. Source: handbook section 2, common practice; the order is own choice. */
const EASIEST_FIRST = [
  'inlet-filter',
  'fluidizing-ring',
  'gun-seals',
  'powder-hose',
  'conveying-filter',
  'supplementary-filter',
  'pump-seals',
  'pump-insert',
  'gun-tube',
];
/** Share of the likeliest part from which the second is a rival. Source: own choice, one in five. */
const RIVAL = 0.2;

/**
 * The check to do first. Where a second part is likely too, the check of either tells the two apart: the easier one; else that of the
 * likeliest. None where no candidate is a part that can be checked by hand.
 */
function benchCheckFor({ candidates }: OpenFinding): Job['benchCheck'] {
  const [first, second] = candidates.filter(({ cause }) => isPartId(cause) && cause in BENCH_CHECKS);
  if (first === undefined) return null;
  const rivals = second !== undefined && second.probability >= RIVAL * first.probability ? [first, second] : [first];
  const ease = ({ cause }: Candidate): number => EASIEST_FIRST.indexOf(cause);
  const easiest = rivals.reduce((best, rival) => (ease(rival) < ease(best) ? rival : best));
  return isPartId(easiest.cause) ? BENCH_CHECKS[easiest.cause] : null;
}

/**
 * All jobs that open findings ask for, most pressing first: failures, then what is past its limit, then by the spray
 * hours that are left, then by how sure.
 */
export function makeJobs(plant: Plant, open: readonly OpenFinding[], views: readonly GunView[]): Job[] {
  const jobs = open.map((finding): Omit<Job, 'rank'> => {
    const cause = finding.candidates[0]?.cause ?? finding.cause;
    const view = views.find(({ id }) => id === finding.gun);
    const hours = finding.remaining === null ? null : intervalOf(finding.remaining);
    const perShift = view?.sprayHoursPerShift ?? null;
    const told = toFinding(finding);
    const evidence = finding.evidence.map((sentence) => withPowderNamed(sentence, plant.powders));
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
      reason: evidence[0] ?? '',
      byShifts: hours === null || perShift === null || perShift <= 0 ? null : hours.p50 / perShift,
      bySprayHours: hours,
      probability: finding.candidates[0]?.probability ?? 0,
      candidates: told.candidates,
      benchCheck: benchCheckFor(finding),
      cautions: [...CAUTIONS],
      finding: { gun: finding.gun, cause: finding.cause, raised: told.raised },
      evidence,
    };
  });
  jobs.sort(
    (left, right) =>
      pressing(left) - pressing(right) ||
      (left.bySprayHours?.p50 ?? 0) - (right.bySprayHours?.p50 ?? 0) ||
      right.probability - left.probability ||
      byText(left.gun ?? '', right.gun ?? '') ||
      byText(left.cause, right.cause) ||
      byText(left.finding.raised, right.finding.raised),
  );
  return jobs.map((job, index) => ({ rank: index + 1, ...job }));
}

const byText = (left: string, right: string): number => Number(left > right) - Number(left < right);

/** Failure first, then past its limit, then parts, then checks of sensors. */
export function pressing({ category }: { category: (typeof CATEGORIES)[number] }): number {
  return ['failure', 'out-of-specification', 'maintenance-required', 'function-check'].indexOf(category);
}
