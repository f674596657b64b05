import type { JSX } from 'preact';
import type { PartShown } from '../../server/upkeep/upkeep-model.ts';
import { Frame } from '../frame/frame.tsx';
import { now, wall } from '../link/live.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { StateMark } from '../wall/state-mark.tsx';
import { decimal } from '../words/figures.ts';
import { causeName } from '../words/names.ts';
import { day } from '../words/site-time.ts';
import { STATES } from '../words/states.ts';
import { mass, told } from '../words/units.ts';
import { expectedWords } from './parts-table.tsx';

/** All guns at a glance: state, insert, and what comes next. */
export function GunsScreen(): JSX.Element {
  const { data, fault } = useLoaded<PartShown[]>('/api/parts');
  const site = wall.value?.site ?? null;
  const kilograms = (kg: number | null): string =>
    kg === null || site === null ? 'not known' : told(mass(kg, site.units), 0);
  return (
    <Frame title="Guns" page="guns" wide>
      <Waiting fault={fault} empty={data === null || site === null} />
      {data && site && (
        <div class="table-wrap">
          <table class="rows stacked">
            <caption>Each gun, its pump insert and what is due next</caption>
            <thead>
              <tr>
                <th scope="col">
                  <span class="unseen">State</span>
                </th>
                <th scope="col">Gun</th>
                <th scope="col">How it is</th>
                <th scope="col">Insert since</th>
                <th scope="col" class="number">
                  Spray hours
                </th>
                <th scope="col" class="number">
                  Powder
                </th>
                <th scope="col">Expected left</th>
                <th scope="col">Next due</th>
              </tr>
            </thead>
            <tbody>
              {wall.value?.guns.map(({ id, name, state }) => {
                const parts = data.filter(({ gun }) => gun === id);
                const insert = parts.find(({ part }) => part === 'pump-insert');
                const next = parts
                  .filter(({ due }) => due !== null)
                  .sort((left, right) => (left.due ?? 0) - (right.due ?? 0))[0];
                return (
                  <tr key={id}>
                    <td class="rows-mark">
                      <StateMark state={state ?? 'unknown'} />
                    </td>
                    <th scope="row">
                      <a href={`/guns/${encodeURIComponent(id)}`}>{name}</a>
                    </th>
                    <td>{state === null ? 'Not analysed yet' : STATES[state].words}</td>
                    <td>{insert?.fittedSince == null ? 'not logged' : day(insert.fittedSince, site, now.value)}</td>
                    <td class="number">{insert === undefined ? '–' : decimal(insert.sinceFitted.sprayHours, 1)}</td>
                    <td class="number">{insert === undefined ? '–' : kilograms(insert.sinceFitted.kilograms)}</td>
                    <td>{insert === undefined ? '–' : expectedWords(insert, kilograms)}</td>
                    <td>
                      {next === undefined ? '–' : `${causeName(next.part)}, ${day(next.due ?? 0, site, now.value)}`}
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      )}
    </Frame>
  );
}
