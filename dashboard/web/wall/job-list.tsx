import type { JSX } from 'preact';
import type { Wall } from '../../server/wall-model.ts';
import { sprayHours } from '../words/by-when.ts';
import { JobRow } from './job-row.tsx';

interface Props {
  readonly wall: Wall;
  readonly shortNames: ReadonlyMap<string, string>;
  readonly live: boolean;
}

/** What to do next, or that there is nothing to do. */
export function JobList({ wall, shortNames, live }: Props): JSX.Element {
  const { jobs, jobsInAll } = wall;
  return (
    <section class="jobs" aria-labelledby="jobs-title">
      <h2 id="jobs-title" class="near">
        <span>
          {jobs.length === 0 ? 'To do next' : 'To do next: gun and part, by when, spray hours left'}
          {jobsInAll > jobs.length && (
            <>
              {' '}
              (<a href="/jobs">{jobsInAll} jobs in all</a>)
            </>
          )}
        </span>
        {jobs.length > 0 && <span>how sure, check first</span>}
      </h2>
      {jobs.length === 0 ? (
        <Nothing wall={wall} shortNames={shortNames} live={live} />
      ) : (
        <ol>
          {jobs.map((job) => (
            <JobRow
              key={`${job.gun} ${job.cause} ${job.raised}`}
              job={job}
              shortName={(job.gun === null ? undefined : shortNames.get(job.gun)) ?? job.gunName}
              units={wall.site.units}
              live={live}
            />
          ))}
        </ol>
      )}
    </section>
  );
}

function Nothing({ wall, shortNames, live }: Props): JSX.Element {
  const unknown = wall.guns.every(({ newest, state }) => newest === null && state === null);
  const learning = wall.guns.filter(({ state }) => state === 'learning').length;
  const next = wall.guns
    .flatMap(({ id, name, remaining }) => (remaining ? [{ id, name, remaining }] : []))
    .sort((left, right) => left.remaining.p50 - right.remaining.p50)
    .slice(0, 3);
  return (
    <div class={`nothing ${live ? '' : 'was'}`}>
      <p class="far">{unknown ? 'No readings yet.' : wall.analysedTo === null ? 'Nothing to do.' : 'Not known yet.'}</p>
      {unknown && <p class="near">Jobs appear here once guns have been read and learnt.</p>}
      {learning > 0 && (
        <p class="near">
          {learning === 1 ? 'One gun is' : `${learning} guns are`} still being learnt; what is not known raises nothing.
        </p>
      )}
      {next.length > 0 && (
        <>
          <h3 class="near">Pump inserts that come next, spray hours left</h3>
          <ol>
            {next.map(({ id, name, remaining }) => (
              <li key={id} class="far">
                <span>{shortNames.get(id) ?? name}</span> <span class="figure">{sprayHours(remaining)}</span>
              </li>
            ))}
          </ol>
        </>
      )}
    </div>
  );
}
