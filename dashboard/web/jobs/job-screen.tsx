import type { JSX } from 'preact';
import { useEffect, useMemo } from 'preact/hooks';
import { Frame } from '../frame/frame.tsx';
import { wall } from '../link/live.ts';
import type { JobKey } from '../route.ts';
import { causeName } from '../words/names.ts';
import { jobAt } from './job-at.ts';
import { JobSheet } from './job-sheet.tsx';
import { followJobs } from './load-jobs.ts';

/** One job in full. */
export function JobScreen({ job: asked }: { job: JobKey }): JSX.Element {
  const { jobs, reload, stop } = useMemo(() => followJobs('all'), []);
  useEffect(() => stop, [stop]);
  const { value, fault } = jobs.value;
  const job = value && jobAt(value, asked);
  return (
    <Frame title={job?.action ?? causeName(asked.cause)} page="jobs">
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {value === null && fault === null && <p>Loading…</p>}
      {job && <JobSheet job={job} style={wall.value?.site ?? null} alone onDone={reload} />}
      {value !== null && !job && (
        <p>
          There is no such job: late readings or a correction have taken its finding back.{' '}
          <a href="/jobs">See all jobs</a>.
        </p>
      )}
    </Frame>
  );
}
