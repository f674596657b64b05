import type { JSX } from 'preact';
import type { CurvePoint } from '../../../analyzer/index.ts';
import { shownValue } from './settings-model.ts';
import { withInterval } from './tally-words.ts';

interface Props {
  readonly points: readonly CurvePoint[];
  readonly present: CurvePoint | null;
  readonly proposed: CurvePoint | null;
  readonly onTake: (point: CurvePoint) => void;
}

const WIDTH = 760;
const HEIGHT = 380;
const LEFT = 70;
const BOTTOM = 56;

/** False alarms against spray hours of warning: each dot one set of settings, with the intervals of the present and the proposed. */
export function TradeOffChart({ points, present, proposed, onTake }: Props): JSX.Element {
  const all = [...points, ...(present ? [present] : []), ...(proposed ? [proposed] : [])];
  const alarms = ({ total }: CurvePoint): number => total.falsePerGunYear?.value ?? 0;
  const warning = ({ total }: CurvePoint): number => total.warningSprayHours?.value ?? 0;
  const most = (of: (point: CurvePoint) => number, ends: (point: CurvePoint) => number): number =>
    Math.max(1e-6, ...all.map(of), ...[present, proposed].flatMap((one) => (one === null ? [] : [ends(one)]))) * 1.05;
  const finite = (value: number | null | undefined): number => (value == null || !Number.isFinite(value) ? 0 : value);
  const right = most(alarms, ({ total }) => finite(total.falsePerGunYear?.high));
  const top = most(warning, ({ total }) => finite(total.warningSprayHours?.high));
  const x = (value: number): number => LEFT + (Math.min(value, right) / right) * (WIDTH - LEFT - 20);
  const y = (value: number): number => HEIGHT - BOTTOM - (Math.min(value, top) / top) * (HEIGHT - BOTTOM - 20);
  const ticks = [0, 0.25, 0.5, 0.75, 1];
  return (
    <figure class="trade-off">
      <figcaption>False alarms against warning on the stored history; each dot is one set of settings</figcaption>
      <svg
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label="Trade-off of false alarms and warning; the table below has its numbers"
      >
        {ticks.map((share) => (
          <g key={share} class="grid">
            <line x1={x(share * right)} x2={x(share * right)} y1={20} y2={HEIGHT - BOTTOM} />
            <text x={x(share * right)} y={HEIGHT - BOTTOM + 20} text-anchor="middle">
              {(share * right).toPrecision(2)}
            </text>
            <line x1={LEFT} x2={WIDTH - 20} y1={y(share * top)} y2={y(share * top)} />
            <text x={LEFT - 8} y={y(share * top) + 5} text-anchor="end">
              {(share * top).toPrecision(2)}
            </text>
          </g>
        ))}
        <text x={(LEFT + WIDTH) / 2} y={HEIGHT - 10} text-anchor="middle" class="axis">
          False alarms per gun and year
        </text>
        <text transform={`translate(16 ${(HEIGHT - BOTTOM) / 2}) rotate(-90)`} text-anchor="middle" class="axis">
          Warning, spray h
        </text>
        {points.map((point) => (
          <circle key={keyOf(point)} cx={x(alarms(point))} cy={y(warning(point))} r={6} class="tried" />
        ))}
        {present && <Marked point={present} name="present" x={x} y={y} />}
        {proposed && <Marked point={proposed} name="proposed" x={x} y={y} />}
      </svg>
      <details>
        <summary>As a table ({points.length} settings)</summary>
        <table class="tallies">
          <thead>
            <tr>
              <th scope="col">Accepted per gun and year</th>
              <th scope="col">Smallest change</th>
              <th scope="col">False per gun and year</th>
              <th scope="col">Warning, spray h</th>
              <th scope="col">In time, late, missed</th>
              <th scope="col">
                <span class="unseen">Take over</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {[...points]
              .sort((a, b) => alarms(a) - alarms(b))
              .map((point) => (
                <tr key={keyOf(point)}>
                  <td>{point.settings.falseAlarmsPerGunYear}</td>
                  <td>{shownValue(point.settings.smallestChange, 100)} %</td>
                  <td>{withInterval(point.total.falsePerGunYear, 2)}</td>
                  <td>{withInterval(point.total.warningSprayHours, 0)}</td>
                  <td>
                    {point.total.inTime}, {point.total.late}, {point.total.missed}
                  </td>
                  <td>
                    <button type="button" class="button" onClick={() => onTake(point)}>
                      Propose
                    </button>
                  </td>
                </tr>
              ))}
          </tbody>
        </table>
      </details>
    </figure>
  );
}

const keyOf = ({ settings }: CurvePoint): string => `${settings.falseAlarmsPerGunYear} ${settings.smallestChange}`;

interface MarkedProps {
  readonly point: CurvePoint;
  readonly name: 'present' | 'proposed';
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
}

/** A named point with the intervals of both figures. */
function Marked({ point: { total }, name, x, y }: MarkedProps): JSX.Element | null {
  const { falsePerGunYear: alarms, warningSprayHours: warning } = total;
  if (alarms === null || warning === null) return null;
  const high = warning.high === null || !Number.isFinite(warning.high) ? warning.value : warning.high;
  const [cx, cy] = [x(alarms.value), y(warning.value)];
  return (
    <g class={`marked ${name}`}>
      <line x1={x(alarms.low)} x2={x(alarms.high)} y1={cy} y2={cy} />
      <line x1={cx} x2={cx} y1={y(warning.low)} y2={y(high)} />
      {name === 'present' ? <rect x={cx - 9} y={cy - 9} width={18} height={18} /> : <circle cx={cx} cy={cy} r={11} />}
      <text x={cx + 15} y={cy - 12}>
        {name}
      </text>
    </g>
  );
}
