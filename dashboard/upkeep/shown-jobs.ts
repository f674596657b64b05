import type { Loop, LoopJob } from '../../analyzer/index.ts';

/** Jobs that ask for somebody now: neither done nor shelved, and of guns in service. What the wall and reports show. */
export function shownJobs({ jobs }: Loop): LoopJob[] {
  return jobs.filter(
    ({ state, alert }) =>
      (state === 'open' || state === 'planned') && alert !== 'shelved' && alert !== 'suppressed-by-design',
  );
}
