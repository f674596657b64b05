import type { JSX } from 'preact';
import type { ConditionState } from '../../../collector/contract/finding.ts';
import type { Site } from '../../server/endpoints/site.ts';
import type { Report } from '../../server/shop/journal-model.ts';
import { Unbroken } from '../frame/unbroken.tsx';
import { byShifts, sprayHours } from '../words/by-when.ts';
import { decimal } from '../words/figures.ts';
import { inUnits } from '../words/in-units.ts';
import { causeName } from '../words/names.ts';
import { asSentence } from '../words/sentence.ts';
import { figure, powder } from '../words/shop-units.ts';
import { clock, day } from '../words/site-time.ts';
import { nothingToDo, STATES } from '../words/states.ts';
import { percent } from '../words/units.ts';
import { JournalLines } from './journal-lines.tsx';

const wordsOf = (state: string): string => STATES[state as ConditionState]?.words ?? 'Not known';

/** A shift or a week: what is open, what came and went, what was done, how each gun stands. */
export function ReportView({ report, site }: { report: Report; site: Site }): JSX.Element {
  const { open, raised, cleared, done, toOrder, guns } = report;
  const when = (time: string): string => `${day(Date.parse(time), site)}, ${clock(Date.parse(time), site)}`;
  const mass = powder(1, site.units);
  return (
    <>
      <section class="report-part">
        <h2>Still to do ({open.length})</h2>
        {open.length === 0 && <p>{nothingToDo(guns.map(({ state }) => state))}</p>}
        <ol class="dashes">
          {open.map((job) => (
            <li key={`${job.gun} ${job.action} ${job.category}`}>
              <strong>{job.gun}</strong>: {job.action}, {byShifts(job.byShifts, job.category as never)}.{' '}
              <Unbroken text={asSentence(inUnits(job.reason, site.units))} />{' '}
              {job.stock !== null && <strong class="short">Part: {job.stock}.</strong>}
            </li>
          ))}
        </ol>
      </section>
      <section class="report-part">
        <h2>
          Came up ({raised.length}) and cleared ({cleared.length})
        </h2>
        <ul class="dashes">
          {raised.map(({ gun, cause, category, at }) => (
            <li key={`raised ${gun} ${cause} ${at}`}>
              {when(at)}: {gun}, {causeName(cause).toLowerCase()} raised ({wordsOf(category).toLowerCase()})
            </li>
          ))}
          {cleared.map(({ gun, cause, at }) => (
            <li key={`cleared ${gun} ${cause} ${at}`}>
              {when(at)}: {gun}, {causeName(cause).toLowerCase()} cleared
            </li>
          ))}
        </ul>
      </section>
      <section class="report-part">
        <h2>Done ({done.length})</h2>
        {done.length === 0 ? <p>Nothing was written down.</p> : <JournalLines lines={done} site={site} />}
      </section>
      {toOrder.length > 0 && (
        <section class="report-part">
          <h2>To order</h2>
          <ul class="dashes">
            {toOrder.map(({ part, order, onHand }) => (
              <li key={part}>
                {order} × {causeName(part).toLowerCase()}, {onHand ?? 0} on the shelf
              </li>
            ))}
          </ul>
        </section>
      )}
      <section class="report-part report-guns">
        <h2>Guns</h2>
        <div class="table-room">
          <table class="figures stacked">
            <thead>
              <tr>
                <th scope="col">Gun</th>
                <th scope="col">State now</th>
                <th scope="col" class="number">
                  Spray hours
                </th>
                <th scope="col" class="number">
                  Powder, {mass.unit}
                </th>
                <th scope="col" class="number">
                  Excess air now
                </th>
                <th scope="col" class="number">
                  Spray hours left
                </th>
                <th scope="col" class="number">
                  Came up
                </th>
              </tr>
            </thead>
            <tbody>
              {guns.map((gun) => (
                <tr key={gun.gun}>
                  <th scope="row">{gun.name}</th>
                  <td>{wordsOf(gun.state)}</td>
                  <td class="number">{decimal(gun.sprayHours, 1)}</td>
                  <td class="number">{figure(gun.kilograms === null ? null : gun.kilograms * mass.value, 0)}</td>
                  <td class="number">{gun.excessAir === null ? '–' : percent(gun.excessAir)}</td>
                  <td class="number">{gun.remaining === null ? '–' : sprayHours(gun.remaining)}</td>
                  <td class="number">{gun.findings}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </section>
      <p class="print-only sign">Handed over by ____________________ Taken over by ____________________</p>
    </>
  );
}
