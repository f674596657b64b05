import type { JSX } from 'preact';
import type { BaselineAnswer, TaughtPoint } from '../../../analyzer/index.ts';
import { counted } from '../../../collector/contract/counted.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { powderName } from '../words/baseline-words.ts';
import { decimal } from '../words/figures.ts';
import { clock, day } from '../words/site-time.ts';
import { flow, output } from '../words/units.ts';

/** Rows that are read at once. Source: own choice; all of them are in the CSV file. */
const ROWS = 40;

/** Which runs taught the baseline and which were left out, for those who do not see the chart too. */
export function TaughtTables({ answer, site }: { answer: BaselineAnswer; site: Site }): JSX.Element {
  const { points, counted: blocks } = answer;
  const of = (kind: TaughtPoint['kind']): TaughtPoint[] =>
    points.filter((point) => point.kind === kind).sort((left, right) => left.from - right.from);
  return (
    <section aria-label="What taught it">
      <h2>What taught it</h2>
      {points.length === 0 && <p>No run has taught it anything yet.</p>}
      <PointTable title="Runs that taught it" all={blocks.taught} points={of('taught')} site={site} />
      <PointTable title="Runs that came later" all={blocks.later} points={of('later')} site={site} />
      <PointTable title="Runs left out" all={blocks.leftOut} points={of('left-out')} site={site} why />
    </section>
  );
}

interface TableProps {
  readonly title: string;
  readonly all: number;
  readonly points: readonly TaughtPoint[];
  readonly site: Site;
  readonly why?: boolean;
}

function PointTable({ title, all, points, site, why = false }: TableProps): JSX.Element | null {
  if (points.length === 0) return null;
  const every = Math.max(1, Math.ceil(points.length / ROWS));
  const rows = points.filter((_, index) => index % every === 0);
  const runs = points.reduce((sum, one) => sum + one.runs, 0);
  return (
    <details class="numbers kept-on-paper">
      <summary>
        {title}: {all === points.length ? `${counted(runs, 'run')} in ${counted(all, 'block')}` : counted(all, 'block')}
      </summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section class="numbers-scroll" tabIndex={0} aria-label={title}>
        <table>
          <caption>
            Blocks of runs at one setting
            {rows.length < all ? `, ${rows.length} of ${all} shown; more are in the CSV file` : ''}
          </caption>
          <thead>
            <tr>
              <th scope="col">From</th>
              <th scope="col">Powder</th>
              <th scope="col">Output, {output(0, site.units).unit}</th>
              <th scope="col">Air, {flow(0, site.units).unit}</th>
              <th scope="col">Runs</th>
              {why && <th scope="col">Why</th>}
            </tr>
          </thead>
          <tbody>
            {rows.map((point) => (
              <tr key={`${point.from} ${point.output}`}>
                <th scope="row">
                  {day(point.from, site, Number.POSITIVE_INFINITY)} {clock(point.from, site)}
                </th>
                <td>{powderName(point.powder, site)}</td>
                <td>{decimal(output(point.output, site.units).value, site.units === 'us' ? 1 : 0)}</td>
                <td>{flow(point.air, site.units).value.toFixed(2)}</td>
                <td>{point.runs}</td>
                {why && <td>{point.why}</td>}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  );
}
