import type { JSX } from 'preact';
import { useEffect, useMemo } from 'preact/hooks';
import { Frame } from '../frame/frame.tsx';
import { wall } from '../link/live.ts';
import type { JobKey } from '../route.ts';
import { causeName } from '../words/names.ts';
import { JobSheet } from './job-sheet.tsx';
import { followJobs } from './load-jobs.ts';

/** One job in full. */
export function JobScreen({ job: { gun, cause, raised } }: { job: JobKey }): JSX.Element {
  const { jobs, reload, stop } = useMemo(followJobs, []);
  useEffect(() => stop, [stop]);
  const { value, fault } = jobs.value;
  const job = value?.find(
    ({ finding }) =>
      finding.gun === gun && finding.cause === cause && Date.parse(finding.raised) === Date.parse(raised),
  );
  return (
    <Frame title={job?.action ?? causeName(cause)} page="jobs">
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {value === null && fault === null && <p>Loading…</p>}
      {job && <JobSheet job={job} style={wall.value?.site ?? null} alone onDone={reload} />}
      {value !== null && !job && (
        <p>
          This job is no longer open: its finding has cleared or was replaced by another one.{' '}
          <a href="/jobs">See what is open</a>.
        </p>
      )}
    </Frame>
  );
}
