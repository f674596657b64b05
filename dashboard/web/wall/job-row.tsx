import type { JSX } from 'preact';
import type { WallJob } from '../../server/wall-model.ts';
import { jobPath } from '../route.ts';
import { byShifts, sprayHours, sprayHoursInFull } from '../words/by-when.ts';
import { cutMiddle } from '../words/gun-names.ts';
import { inUnits } from '../words/in-units.ts';
import { checkFirst, shortCauseName, shortestCauseName } from '../words/names.ts';
import { asSentence } from '../words/sentence.ts';
import { sureness, type Units } from '../words/units.ts';
import { GUN_AND_PART_PX, nameRuler, WHEN_PX } from './name-ruler.ts';
import { StateMark } from './state-mark.tsx';

interface Props {
  readonly job: WallJob;
  readonly shortName: string;
  readonly units: Units;
  readonly live: boolean;
}

/** One job in two lines that can be read at 5 m: gun, part, how sure; by when, and the check that comes first. */
export function JobRow({ job, shortName, units, live }: Props): JSX.Element {
  const ruler = nameRuler();
  const gun = cutMiddle(shortName, ruler);
  const cause = job.part ?? job.cause;
  const fits = ruler.width(gun) + ruler.width(shortCauseName(cause)) <= GUN_AND_PART_PX;
  const hours = job.bySprayHours;
  const shifts = byShifts(job.byShifts, job.category);
  const check = job.checkFirst === null ? '' : checkFirst(job.checkFirst);
  const brief = hours !== null && ruler.light(shifts + sprayHours(hours) + check) > WHEN_PX;
  return (
    <li class={`job ${live ? '' : 'was'}`}>
      <a href={jobPath(job)}>
        <StateMark state={job.category} current={live} />
        <span class="job-what far">
          <b class="job-gun">{gun}</b>{' '}
          <span class="job-part">{fits ? shortCauseName(cause) : shortestCauseName(cause)}</span>{' '}
          <span class="job-sure figure">{job.probability === null ? 'plan' : sureness(job.probability)}</span>
        </span>
        <span class="job-when far">
          <span class="figure">{shifts}</span> {hours && <span class="figure">{sprayHours(hours, brief)}</span>}{' '}
          {check !== '' && <span class="job-check">{check}</span>}
        </span>
        <span class="job-why near">
          {/* Before the reason, whose end may be cut off: hours without their interval say little. */}
          {hours && (brief || hours.p90 >= 99.5) && `Left: ${sprayHoursInFull(hours)}. `}
          {asSentence(inUnits(job.reason, units))}
        </span>
      </a>
    </li>
  );
}
