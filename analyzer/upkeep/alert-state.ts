import type { ALERT_STATES, JobRecord, OutOfService } from './loop-job.ts';

export type AlertState = (typeof ALERT_STATES)[number];

/**
 * State of a job's alert as ISA-18.2 has them. A shelf ends by itself and what was on it must be seen again; so must a job whose change did not
 * cure. Who plans a job or works on it has seen it.
 *
 * @param course.ended when its signal came back, epoch ms; null while it stands
 * @param course.notCured when it was known that the last change did not cure, epoch ms; null for none
 * @param course.worked when work on it was logged last, epoch ms; null for none
 */
export function alertState(
  record: JobRecord,
  course: { readonly ended: number | null; readonly notCured: number | null; readonly worked: number | null },
  outOfService: OutOfService | null,
  now: number,
): AlertState {
  const seen = Math.max(
    record.acknowledged?.at ?? 0,
    record.planned?.at ?? 0,
    record.done?.at ?? 0,
    course.worked ?? 0,
  );
  if (course.ended !== null) return seen > 0 ? 'normal' : 'returned-unacknowledged';
  if (outOfService !== null) return 'suppressed-by-design';
  const { shelved } = record;
  if (shelved !== null && shelved.until > now) return 'shelved';
  const again = Math.max(shelved?.until ?? 0, course.notCured ?? 0);
  return seen > again ? 'acknowledged' : 'unacknowledged';
}
