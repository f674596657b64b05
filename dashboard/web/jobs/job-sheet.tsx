import type { JSX } from 'preact';
import type { LoopJob } from '../../../analyzer/index.ts';
import { Cautions, CheckSteps } from '../checks/check-steps.tsx';
import { Unbroken } from '../frame/unbroken.tsx';
import { SUBJECT_IDS } from '../log/subjects.ts';
import { jobPath, logPath } from '../route.ts';
import { mayDo } from '../sign-in/me.ts';
import { PartShort } from '../stock/part-short.tsx';
import { StateMark } from '../wall/state-mark.tsx';
import { byShifts, sprayHoursInFull } from '../words/by-when.ts';
import { inUnits } from '../words/in-units.ts';
import { causeName } from '../words/names.ts';
import { asSentence } from '../words/sentence.ts';
import { dayAndClock, type TimeStyle } from '../words/site-time.ts';
import { STATES } from '../words/states.ts';
import { sureness } from '../words/units.ts';
import { JobCourse } from './job-course.tsx';
import { JobDeeds } from './job-deeds.tsx';

interface Props {
  readonly job: LoopJob;
  /** Null until the plant's time zone is known. */
  readonly style: TimeStyle | null;
  /** True on the page of this job alone: its name is the page's title there. */
  readonly alone: boolean;
  /** Told when a person did something with it. */
  readonly onDone: () => void;
}

/** A job in full: cautions before hands, the check before the change, and why. */
export function JobSheet({ job, style, alone, onDone }: Props): JSX.Element {
  const { gun, cause, raised } = job.finding;
  const Title = alone ? 'h2' : 'h3';
  const ended = hasEnded(job);
  const units = style?.units ?? 'metric';
  const changed = job.part ?? (SUBJECT_IDS.includes(cause) ? cause : null);
  return (
    <article class={alone ? 'job-sheet' : 'job-sheet own-page'} aria-label={`${job.action}, ${job.gunName}`}>
      <div class="job-sheet-head">
        <StateMark state={job.category} current={!ended} />
        <div>
          {!alone && (
            <h2>
              <a href={jobPath({ gun, cause, raised })}>{job.action}</a>
            </h2>
          )}
          <p class="job-sheet-gun">{job.gunName}</p>
          <p>
            <Unbroken text={asSentence(inUnits(job.reason, units))} />
          </p>
        </div>
      </div>
      <Facts job={job} style={style} />
      {!ended && <PartShort part={job.part} />}
      {style && <JobCourse job={job} style={style} />}
      {style && mayDo('fitter') && <JobDeeds job={job} style={style} onDone={onDone} />}
      {!ended && <Hands job={job} title={Title} />}
      {gun !== null && !ended && (
        <p class="job-sheet-do">
          {job.benchCheck && (
            <a class="button" href={logPath({ gun, part: job.benchCheck.part, action: 'inspected' })}>
              Log what the check found
            </a>
          )}
          {changed !== null && (
            <a class="button" href={logPath({ gun, part: changed, action: 'replaced' })}>
              Log the change
            </a>
          )}
        </p>
      )}
      <section class="why">
        <Title class="job-sheet-title">Why</Title>
        <ul class="dashes">
          {job.evidence.map((sentence) => (
            <li key={sentence}>
              <Unbroken text={asSentence(inUnits(sentence, units))} />
            </li>
          ))}
        </ul>
        {job.source === 'finding' && <Title class="job-sheet-title">What it may be</Title>}
        <table class="candidates">
          <tbody>
            {(job.source === 'finding' ? job.candidates : []).map((candidate) => (
              <tr key={candidate.cause}>
                <th scope="row">{causeName(candidate.cause)}</th>
                <td>{sureness(candidate.probability)}</td>
                <td>
                  <svg viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
                    <rect width={100 * candidate.probability} height="6" />
                  </svg>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </article>
  );
}

/** What comes before hands: the cautions, then the check and how to judge it. */
function Hands({ job, title: Title }: { job: LoopJob; title: 'h2' | 'h3' }): JSX.Element {
  return (
    <>
      <Cautions cautions={job.cautions} as={Title} />
      {job.benchCheck && (
        <section>
          <Title class="job-sheet-title">First check: {job.benchCheck.title}</Title>
          <CheckSteps check={job.benchCheck} />
        </section>
      )}
    </>
  );
}

function Facts({ job, style }: { job: LoopJob; style: TimeStyle | null }): JSX.Element {
  return (
    <dl class="facts">
      {!hasEnded(job) && (
        <div>
          <dt>By when</dt>
          <dd>{when(job)}</dd>
        </div>
      )}
      {job.bySprayHours && (
        <div>
          <dt>Left</dt>
          <dd>
            <Unbroken text={sprayHoursInFull(job.bySprayHours)} />
          </dd>
        </div>
      )}
      <div>
        <dt>How sure</dt>
        <dd>
          {job.source === 'plan'
            ? 'by the plan, not by the air'
            : `${sureness(job.probability)} ${causeName(job.cause).toLowerCase()}`}
        </dd>
      </div>
      <div>
        <dt>State</dt>
        <dd>{STATES[job.category].words}</dd>
      </div>
      {style && (
        <div>
          <dt>{job.source === 'plan' ? 'Counted from' : 'Raised'}</dt>
          <dd>{dayAndClock(job.raised, style)}</dd>
        </div>
      )}
      {style && job.cleared !== null && (
        <div>
          <dt>Ended</dt>
          <dd>{dayAndClock(job.cleared, style)}</dd>
        </div>
      )}
    </dl>
  );
}

/** Of such a job only its story is left. */
const hasEnded = ({ state }: LoopJob): boolean => state === 'proven' || state === 'gone';

function when(job: LoopJob): string {
  const said = byShifts(job.byShifts, job.category);
  if (said === 'next stop') return 'at the next colour change, shift end or planned stop';
  return job.byShifts !== null && job.byShifts >= 1 ? `within ${said}` : said;
}
