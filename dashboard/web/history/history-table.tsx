import type { JSX } from 'preact';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { decimal } from '../words/figures.ts';
import { clock, day, secondsClock, type TimeStyle } from '../words/site-time.ts';
import { type Span, TOLD_BY_SECONDS_MS } from './look.ts';
import { measured, PANELS } from './panels.ts';

/** Rows that are read at once. Source: own choice; all of them are in the CSV file. */
const ROWS = 60;

interface Props {
  readonly answer: HistoryAnswer;
  readonly other: HistoryAnswer | null;
  readonly site: Site;
}

/** The numbers of the charts for those who do not see them, thinned to what can be read. */
export function HistoryTable({ answer, other, site }: Props): JSX.Element {
  const of = (one: HistoryAnswer, name: string) => {
    const places = new Map(one.times.map((time, index) => [time, index]));
    return PANELS.flatMap((panel) =>
      measured(panel, one).map(({ label, values }) => ({
        head: `${name}${panel.id === 'conductance' ? `${label} conductance` : label}, ${panel.told(0, site.units).unit}`,
        at: (time: number): string => {
          const value = values.mid[places.get(time) ?? -1] ?? null;
          return value === null ? '–' : decimal(panel.told(value, site.units).value, panel.digits);
        },
      })),
    );
  };
  const nameOf = (gun: string): string => `${site.guns.find(({ id }) => id === gun)?.name ?? gun}: `;
  const columns = other === null ? of(answer, '') : [answer, other].flatMap((one) => of(one, nameOf(one.gun)));
  const times = [...new Set([...answer.times, ...(other?.times ?? [])])].sort((left, right) => left - right);
  const every = Math.max(1, Math.ceil(times.length / ROWS));
  const rows = times.filter((_, index) => index % every === 0);
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
              {columns.map(({ head }) => (
                <th scope="col" key={head}>
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((time) => (
              <tr key={time}>
                <th scope="row">{rowTime(time, answer, site)}</th>
                {columns.map(({ head, at }) => (
                  <td key={head}>{at(time)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  );
}

/** With its year where the span is long, with seconds where it is short. */
function rowTime(time: number, { from, to }: Span, style: TimeStyle): string {
  const at = to - from < TOLD_BY_SECONDS_MS ? secondsClock : clock;
  return `${day(time, style, from)} ${at(time, style)}`;
}
