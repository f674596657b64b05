import type { JSX } from 'preact';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { clock, day } from '../words/site-time.ts';
import { measured, PANELS } from './panels.ts';

/** Rows that are read at once. Source: own choice; all of them are in the CSV file. */
const ROWS = 60;

/** The numbers of the charts for those who do not see them, thinned to what can be read. */
export function HistoryTable({ answer, site }: { answer: HistoryAnswer; site: Site }): JSX.Element {
  const columns = PANELS.flatMap((panel) =>
    measured(panel, answer).map(({ label, values }) => ({
      panel,
      label,
      values,
      unit: panel.told(0, site.units).unit,
    })),
  );
  const every = Math.max(1, Math.ceil(answer.times.length / ROWS));
  const rows = answer.times.map((time, index) => ({ time, index })).filter(({ index }) => index % every === 0);
  return (
    <details class="numbers">
      <summary>Numbers as a table</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section class="numbers-scroll" tabIndex={0} aria-label="Numbers as a table">
        <table>
          <caption>
            Means of stretches{every > 1 ? `, one in ${every} shown; all of them are in the CSV file` : ''}
          </caption>
          <thead>
            <tr>
              <th scope="col">Time</th>
              {columns.map(({ label, unit, panel }) => (
                <th scope="col" key={`${panel.id} ${label}`}>
                  {panel.series.length > 1 && panel.id === 'conductance' ? `${label} conductance` : label}, {unit}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ time, index }) => (
              <tr key={time}>
                <th scope="row">
                  {day(time, site)} {clock(time, site)}
                </th>
                {columns.map(({ label, panel, values }) => {
                  const value = values.mid[index] ?? null;
                  return (
                    <td key={`${panel.id} ${label}`}>
                      {value === null ? '–' : panel.told(value, site.units).value.toFixed(panel.digits)}
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  );
}
