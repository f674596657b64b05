import type { JSX } from 'preact';
import type { LoopJob } from '../../../analyzer/index.ts';
import { counted } from '../../../collector/contract/counted.ts';
import { FOUND_WORDS } from '../log/draft.ts';
import { inUnits } from '../words/in-units.ts';
import { causeName } from '../words/names.ts';
import { asSentence } from '../words/sentence.ts';
import type { TimeStyle } from '../words/site-time.ts';
import { alertWords, at, attemptWords, stateWords, stopWords } from './job-words.ts';

/** How far a job has come: state, alert, stop, what was checked and tried. */
export function JobCourse({ job, style }: { job: LoopJob; style: TimeStyle }): JSX.Element {
  const alert = alertWords(job, style);
  const stop = stopWords(job, style);
  return (
    <section class="course">
      <p>
        <strong>{stateWords(job)}</strong>
        {alert !== '' && ` · ${alert}`}
        {job.safetyRelevant && ' · safety-relevant: never put off by good air'}
      </p>
      {job.planned !== null && job.state === 'planned' && (
        <p>
          Planned by {job.planned.who} for {at(job.planned.for, style)}
          {job.planned.note !== '' && `: ${job.planned.note}`}
        </p>
      )}
      {job.state === 'open' && stop !== '' && <p>Proposed: {stop}.</p>}
      {job.together.length > 0 && (
        <p>
          The same stop of this gun does {counted(job.together.length, 'more job')}: see <a href="/jobs">the list</a>.
        </p>
      )}
      {job.separates !== null && (
        <p>
          {causeName(job.separates[0])} and {causeName(job.separates[1]).toLowerCase()} are close: the check below tells
          them apart.
        </p>
      )}
      {(job.checks.length > 0 || job.attempts.length > 0) && (
        <ul class="dashes">
          {job.checks.map(({ entry, part, time, found, measured }) => (
            <li key={entry}>
              {causeName(part)} looked at, {at(time, style)}
              {found !== null && `: ${FOUND_WORDS[found].toLowerCase()}`}
              {measured !== null && ` (${measured.value} ${measured.unit})`}.
            </li>
          ))}
          {attemptWords(job, style).map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      )}
      {job.dueWhy.length > 0 && (
        <ul class="dashes soft">
          {job.dueWhy.map((why) => (
            <li key={why}>{asSentence(inUnits(why, style.units))}</li>
          ))}
        </ul>
      )}
    </section>
  );
}
