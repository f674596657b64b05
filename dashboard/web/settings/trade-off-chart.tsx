import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { CurvePoint } from '../../../analyzer/index.ts';
import { ticks } from '../baseline/baseline-plot.ts';
import { TallyLegend } from './tally-legend.tsx';
import { keyOf, TradeOffTable } from './trade-off-table.tsx';
import './trade-off.css';

interface Props {
  readonly points: readonly CurvePoint[];
  readonly present: CurvePoint | null;
  readonly proposed: CurvePoint | null;
  /** One of the points: the answer to what was asked for. */
  readonly suggested: CurvePoint | null;
  readonly onTake: (point: CurvePoint) => void;
}

/** The widest picture, px. On a phone it is as wide as the page, so that its figures stay legible. */
const WIDEST = 760;
const HEIGHT = 380;
const LEFT = 70;
const BOTTOM = 56;
/** Room that the figures of an axis take, px. */
const TICK_X = 90;
const TICK_Y = 60;

/** False alarms against spray hours of warning: each dot one set of settings, with the intervals of the present, the proposed and the suggested. */
export function TradeOffChart({ points, present, proposed, suggested, onTake }: Props): JSX.Element {
  const place = useRef<HTMLElement>(null);
  const [width, setWidth] = useState(WIDEST);
  useEffect(() => {
    const element = place.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setWidth(Math.min(WIDEST, element.clientWidth)));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const all = [...points, ...(present ? [present] : []), ...(proposed ? [proposed] : [])];
  const alarms = ({ total }: CurvePoint): number => total.falsePerGunYear?.value ?? 0;
  const warning = ({ total }: CurvePoint): number => total.warningSprayHours?.value ?? 0;
  const most = (of: (point: CurvePoint) => number, ends: (point: CurvePoint) => number): number =>
    Math.max(
      1e-6,
      ...all.map(of),
      ...[present, proposed, suggested].flatMap((one) => (one === null ? [] : [ends(one)])),
    ) * 1.05;
  const finite = (value: number | null | undefined): number => (value == null || !Number.isFinite(value) ? 0 : value);
  const right = most(alarms, ({ total }) => finite(total.falsePerGunYear?.high));
  const top = most(warning, ({ total }) => finite(total.warningSprayHours?.high));
  const x = (value: number): number => LEFT + (Math.min(value, right) / right) * (width - LEFT - 20);
  const y = (value: number): number => HEIGHT - BOTTOM - (Math.min(value, top) / top) * (HEIGHT - BOTTOM - 20);
  // Nothing is proposed yet: one mark, and not one that hides the other.
  const isOne = present !== null && JSON.stringify(present.settings) === JSON.stringify(proposed?.settings);
  // Two names beside one another would each stand at the other's mark.
  const isUpper = present !== null && (proposed === null || warning(present) >= warning(proposed));
  return (
    <figure class="trade-off" ref={place}>
      <figcaption>False alarms against warning on the stored history; each dot is one set of settings</figcaption>
      <svg
        viewBox={`0 0 ${width} ${HEIGHT}`}
        role="img"
        aria-label="Trade-off of false alarms and warning; the table below has its numbers"
      >
        {ticks(0, right, (width - LEFT) / TICK_X).map((value) => (
          <g key={`x ${value}`} class="grid">
            <line x1={x(value)} x2={x(value)} y1={20} y2={HEIGHT - BOTTOM} />
            <text x={x(value)} y={HEIGHT - BOTTOM + 20} text-anchor="middle">
              {value}
            </text>
          </g>
        ))}
        {ticks(0, top, (HEIGHT - BOTTOM) / TICK_Y).map((value) => (
          <g key={`y ${value}`} class="grid">
            <line x1={LEFT} x2={width - 20} y1={y(value)} y2={y(value)} />
            <text x={LEFT - 8} y={y(value) + 5} text-anchor="end">
              {value}
            </text>
          </g>
        ))}
        <text x={(LEFT + width) / 2} y={HEIGHT - 10} text-anchor="middle" class="axis">
          False alarms per gun and year
        </text>
        <text transform={`translate(16 ${(HEIGHT - BOTTOM) / 2}) rotate(-90)`} text-anchor="middle" class="axis">
          Warning, spray h
        </text>
        {points.map((point) => (
          <circle key={keyOf(point)} cx={x(alarms(point))} cy={y(warning(point))} r={6} class="tried" />
        ))}
        {present && (
          <Marked
            point={present}
            kind="present"
            name={isOne ? 'present, also proposed' : 'present'}
            isUpper={isUpper}
            x={x}
            y={y}
          />
        )}
        {proposed && !isOne && <Marked point={proposed} kind="proposed" isUpper={!isUpper} x={x} y={y} />}
        {suggested && <Marked point={suggested} kind="suggested" isUpper x={x} y={y} />}
      </svg>
      <TradeOffTable {...{ points, present, proposed, suggested, onTake }} />
      {present !== null || suggested !== null ? <TallyLegend /> : null}
    </figure>
  );
}

interface MarkedProps {
  readonly point: CurvePoint;
  readonly kind: 'present' | 'proposed' | 'suggested';
  /** Its name, where that is not its kind. */
  readonly name?: string;
  /** Its name stands above it, else below. */
  readonly isUpper: boolean;
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
}

/** A named point with the intervals of both figures. */
function Marked({ point: { total }, kind, name = kind, isUpper, x, y }: MarkedProps): JSX.Element | null {
  const { falsePerGunYear: alarms, warningSprayHours: warning } = total;
  if (alarms === null || warning === null) return null;
  const high = warning.high === null || !Number.isFinite(warning.high) ? warning.value : warning.high;
  const [cx, cy] = [x(alarms.value), y(warning.value)];
  return (
    <g class={`marked ${kind}`}>
      <line x1={x(alarms.low)} x2={x(alarms.high)} y1={cy} y2={cy} />
      <line x1={cx} x2={cx} y1={y(warning.low)} y2={y(high)} />
      {kind === 'present' ? <rect x={cx - 9} y={cy - 9} width={18} height={18} /> : <circle cx={cx} cy={cy} r={11} />}
      <text x={cx + 15} y={isUpper ? cy - 14 : cy + 26}>
        {name}
      </text>
    </g>
  );
}
