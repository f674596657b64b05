import type { JSX } from 'preact';
import type { LoopJob } from '../../../analyzer/index.ts';
import { jobPath } from '../route.ts';
import { PartShort } from '../stock/part-short.tsx';
import { StateMark } from '../wall/state-mark.tsx';
import type { TimeStyle } from '../words/site-time.ts';
import { alertWords, at, stateWords, stopWords } from './job-words.ts';

interface Props {
  readonly caption: string;
  readonly jobs: readonly LoopJob[];
  readonly style: TimeStyle;
  /** True where all have ended: when that was, instead of when they are due and at which stop. */
  readonly ended?: boolean;
  /** False on the page of one gun. */
  readonly named?: boolean;
}

/** Jobs at a glance, one line each; those that one stop does stand together. */
export function JobTable({ caption, jobs, style, ended = false, named = true }: Props): JSX.Element | null {
  if (jobs.length === 0) return null;
  const shown = [...jobs].sort((left, right) => first(jobs, left) - first(jobs, right) || left.rank - right.rank);
  return (
    <div class="table-wrap">
      <table class="rows stacked">
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">
              <span class="unseen">State</span>
            </th>
            {named && <th scope="col">Gun</th>}
            <th scope="col">Job</th>
            <th scope="col">How far</th>
            <th scope="col">{ended ? 'Ended' : 'Due'}</th>
            {!ended && <th scope="col">Stop</th>}
          </tr>
        </thead>
        <tbody>
          {shown.map((job) => (
            <tr key={job.id}>
              <td class="rows-mark">
                <StateMark state={job.category} current={job.state !== 'proven' && job.state !== 'gone'} />
              </td>
              {named ? (
                <>
                  <th scope="row" class="whole">
                    {job.gunName}
                  </th>
                  <td>{whatToDo(job, ended)}</td>
                </>
              ) : (
                <th scope="row">{whatToDo(job, ended)}</th>
              )}
              <td>
                {stateWords(job)}
                {job.alert !== 'normal' && <span class="soft"> · {alertWords(job, style)}</span>}
              </td>
              <td>{moment(ended ? job.cleared : job.due, style)}</td>
              {!ended && <td>{stopWords(job, style) || '–'}</td>}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

const whatToDo = (job: LoopJob, ended: boolean): JSX.Element => (
  <>
    <a href={jobPath(job.finding)}>{job.action}</a>
    {job.state !== 'done' && !ended && <PartShort part={job.part} />}
  </>
);

const moment = (ms: number | null, style: TimeStyle): string => (ms === null ? '–' : at(ms, style));

/** Rank of the first job of the same stop of the gun. */
function first(jobs: readonly LoopJob[], job: LoopJob): number {
  return Math.min(job.rank, ...jobs.filter(({ id }) => job.together.includes(id)).map(({ rank }) => rank));
}
