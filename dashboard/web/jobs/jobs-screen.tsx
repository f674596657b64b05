import type { JSX } from 'preact';
import { useEffect, useMemo } from 'preact/hooks';
import type { LoopJob } from '../../../analyzer/index.ts';
import { Frame } from '../frame/frame.tsx';
import { wall } from '../link/live.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { JobSheet } from './job-sheet.tsx';
import { JobTable } from './job-table.tsx';
import { followJobs } from './load-jobs.ts';

/** All jobs: at a glance, then in full, to read and to print. */
export function JobsScreen(): JSX.Element {
  const { jobs, reload, stop } = useMemo(followJobs, []);
  useEffect(() => stop, [stop]);
  const ended = useLoaded<LoopJob[]>('/api/jobs?state=ended&limit=30');
  const { value, fault } = jobs.value;
  const style = wall.value?.site ?? null;
  const toDo = value?.filter(asks) ?? [];
  const away = value?.filter(({ alert }) => alert === 'shelved' || alert === 'suppressed-by-design') ?? [];
  const done = value?.filter((job) => job.state === 'done' && !away.includes(job)) ?? [];
  return (
    <Frame title="Jobs" page="jobs" wide>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {value === null && fault === null && <p>Loading…</p>}
      {value !== null && toDo.length === 0 && <p>Nothing to do.</p>}
      {value !== null && value.length > 0 && (
        <p class="no-print">
          <button type="button" class="button" onClick={() => window.print()}>
            Print
          </button>
        </p>
      )}
      {style && <JobTable caption="To do, by stop" jobs={toDo} style={style} />}
      {style && (
        <div class="no-print">
          <JobTable caption="Done, waiting for proof" jobs={done} style={style} />
          <JobTable caption="Shelved, or of a gun out of service" jobs={away} style={style} />
        </div>
      )}
      {toDo.map((job) => (
        <JobSheet key={job.id} job={job} style={style} alone={false} onDone={reload} />
      ))}
      {style && ended.data && (
        <div class="no-print">
          <JobTable caption="Ended, newest first" ended jobs={ended.data} style={style} />
        </div>
      )}
    </Frame>
  );
}

/** Jobs that ask for somebody now. */
const asks = ({ state, alert }: LoopJob): boolean =>
  (state === 'open' || state === 'planned') && alert !== 'shelved' && alert !== 'suppressed-by-design';
