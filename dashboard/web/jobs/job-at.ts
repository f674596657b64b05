import type { LoopJob } from '../../../analyzer/index.ts';
import type { JobKey } from '../route.ts';

/**
 * The job that an address means. A link may be older than what is known now: it names the cause that came first or the likeliest one, and when the
 * trouble or its newest finding was raised.
 */
export function jobAt(jobs: readonly LoopJob[], { gun, cause, raised }: JobKey): LoopJob | undefined {
  const time = Date.parse(raised);
  const ofGun = jobs.filter((job) => job.finding.gun === gun);
  return (
    ofGun.find(({ finding }) => finding.cause === cause && Date.parse(finding.raised) === time) ??
    ofGun.find(
      (job) =>
        (job.raised === time || Date.parse(job.finding.raised) === time) &&
        (job.cause === cause || job.id.split('~')[1] === cause.replace(/[:/]/g, '.')),
    )
  );
}
