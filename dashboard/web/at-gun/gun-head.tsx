import type { JSX } from 'preact';
import { Unbroken } from '../frame/unbroken.tsx';
import { age } from '../words/ages.ts';
import { byShifts, sprayHoursInFull } from '../words/by-when.ts';
import { inUnits } from '../words/in-units.ts';
import { asSentence } from '../words/sentence.ts';
import { STATES } from '../words/states.ts';
import { percent } from '../words/units.ts';
import type { GunNow } from './gun-now.ts';

/** How the gun stands: its state, what is to be done, what is left; and how old that is where the network is away. */
export function GunHead({ name, state }: { name: string; state: GunNow }): JSX.Element {
  const { view, jobs, at } = state;
  const oldMs = Date.now() - at;
  const mark = STATES[view?.state ?? 'unknown'];
  return (
    <section class="gun-head">
      <h2>{name}</h2>
      <p class="gun-head-state">
        {mark.letter !== '' && <strong>{mark.letter} </strong>}
        {mark.words}
        {oldMs > 60_000 && <em> as of {age(oldMs)} ago</em>}
      </p>
      {jobs.map((job) => (
        <p key={`${job.cause} ${job.finding.raised}`}>
          <strong>{job.action}</strong>, {byShifts(job.byShifts, job.category)}.{' '}
          {asSentence(inUnits(job.reason, state.site.units))}
          {job.benchCheck && ` First: ${job.benchCheck.title.toLowerCase()}.`}
        </p>
      ))}
      {jobs.length === 0 && view && <p>Nothing to do on this gun.</p>}
      {view?.excessAir && <p>Air over a new insert’s need: {percent(view.excessAir.p50)}.</p>}
      {view?.remaining && (
        <p>
          <Unbroken text={`Insert: ${sprayHoursInFull(view.remaining)} left.`} />
        </p>
      )}
      {(jobs[0]?.cautions.length ?? 0) > 0 && (
        <details>
          <summary class="tap tap-quiet">Cautions before hands go to it</summary>
          <ul class="dashes">
            {jobs[0]?.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
