import type { JSX } from 'preact';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { Unfolded } from '../shop/unfolded.tsx';
import { decimal } from '../words/figures.ts';
import { clock, day, secondsClock, type TimeStyle } from '../words/site-time.ts';
import { type Span, TOLD_BY_SECONDS_MS } from './look.ts';
import { type ShownColumn, shownColumns, shownTimes } from './shown-columns.ts';

/** Rows that are read at once. Source: own choice; all of them are in the CSV file. */
const ROWS = 60;

interface Props {
  readonly answer: HistoryAnswer;
  readonly other: HistoryAnswer | null;
  readonly site: Site;
}

/** The numbers of the charts for those who do not see them, thinned to what can be read. */
export function HistoryTable({ answer, other, site }: Props): JSX.Element {
  return <Unfolded summary="Numbers as a table">{() => <Table answer={answer} other={other} site={site} />}</Unfolded>;
}

function Table({ answer, other, site }: Props): JSX.Element {
  const columns = shownColumns(answer, other, site);
  const times = shownTimes(answer, other);
  const every = Math.max(1, Math.ceil(times.length / ROWS));
  const rows = times.filter((_, index) => index % every === 0);
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section class="numbers-scroll" tabIndex={0} aria-label="Numbers as a table">
        <table>
          <caption>
            {answer.level === 'readings' ? 'Readings' : 'Means of stretches'}, in brackets the lowest and highest where
            the chart draws a band
            {every > 1 ? `, one in ${every} shown; all of them are in the CSV file` : ''}
          </caption>
          <thead>
            <tr>
              <th scope="col">Time</th>
              {columns.map(({ name, unit }) => (
                <th scope="col" key={name}>
                  {name}, {unit}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((time) => (
              <tr key={time}>
                <th scope="row">{rowTime(time, answer, site)}</th>
                {columns.map((column) => (
                  <td key={column.name}>{cellOf(column, time)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
}

/** "3.1 (0.4 to 5.9)", the mean alone where nothing lies around it. */
function cellOf({ at, digits, hasBand }: ShownColumn, time: number): string {
  const { low, mid, high } = at(time);
  if (mid === null) return '–';
  const [mean, from, to] = [mid, low ?? mid, high ?? mid].map((value) => decimal(value, digits));
  return !hasBand || (from === mean && to === mean) ? mean! : `${mean} (${from} to ${to})`;
}

/** With its year where the span is long, with seconds where it is short. */
function rowTime(time: number, { from, to }: Span, style: TimeStyle): string {
  const at = to - from < TOLD_BY_SECONDS_MS ? secondsClock : clock;
  return `${day(time, style, from)} ${at(time, style)}`;
}
