import type { JSX } from 'preact';
import { useEffect, useMemo } from 'preact/hooks';
import { Frame } from '../frame/frame.tsx';
import { wall } from '../link/live.ts';
import { JobSheet } from './job-sheet.tsx';
import { followJobs } from './load-jobs.ts';

/** All jobs in full, to read and to print. */
export function JobsScreen(): JSX.Element {
  const { jobs, stop } = useMemo(followJobs, []);
  useEffect(() => stop, [stop]);
  const { value, fault } = jobs.value;
  const style = wall.value?.site ?? null;
  return (
    <Frame title="Jobs" page="jobs">
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {value === null && fault === null && <p>Loading…</p>}
      {value?.length === 0 && <p>Nothing to do.</p>}
      {value !== null && value.length > 0 && (
        <p class="no-print">
          <button type="button" class="button" onClick={() => window.print()}>
            Print
          </button>
        </p>
      )}
      {value?.map((job) => (
        <JobSheet key={JSON.stringify(job.finding)} job={job} style={style} alone={false} />
      ))}
    </Frame>
  );
}
