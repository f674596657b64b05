import type { JSX } from 'preact';
import type { LifeGroup } from '../../server/shop/life-model.ts';
import { decimal } from '../words/figures.ts';
import { percent, type Quantity } from '../words/units.ts';

const WIDTH = 720;
const HEIGHT = 300;
const LEFT = 54;
const BOTTOM = 40;
const TOP = 12;
const RIGHT = 14;
const SHARES = [0, 0.25, 0.5, 0.75, 1];

interface Props {
  readonly title: string;
  readonly group: LifeGroup;
  readonly unit: Quantity;
}

/** Share that has ended against age: steps as observed, the fitted curve with its band, and B10; the same as a table. */
export function LifePlot({ title, group, unit }: Props): JSX.Element {
  const { observed, curve, b10 } = group;
  const ages = [
    ...observed.map(({ time }) => time),
    ...curve.filter(({ share }) => share <= 0.95).map(({ value }) => value),
  ];
  const last = niceEnd(Math.max(...ages) * unit.value * 1.05);
  const x = (time: number): number => LEFT + (Math.min(time * unit.value, last) / last) * (WIDTH - LEFT - RIGHT);
  const y = (share: number): number => TOP + (1 - share) * (HEIGHT - TOP - BOTTOM);
  const line = (points: readonly (readonly [number, number])[]): string =>
    points
      .map(([time, share], index) => `${index === 0 ? 'M' : 'L'}${x(time).toFixed(1)} ${y(share).toFixed(1)}`)
      .join('');
  const steps: [number, number][] = [[0, 0]];
  for (const { time, share } of observed) steps.push([time, steps.at(-1)?.[1] ?? 0], [time, share]);
  const band = [
    ...curve.map(({ share, low }) => [low, share] as const),
    ...[...curve].reverse().map(({ share, high }) => [high, share] as const),
  ];
  return (
    <figure class="life-plot">
      <svg
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label={`${title}: share ended against age; the table below says the same`}
      >
        {SHARES.map((share) => (
          <g key={share}>
            <line class="grid" x1={LEFT} x2={WIDTH - RIGHT} y1={y(share)} y2={y(share)} />
            <text x={LEFT - 8} y={y(share) + 5} text-anchor="end">
              {percent(share)}
            </text>
          </g>
        ))}
        {[0, 0.25, 0.5, 0.75, 1].map((part) => (
          <text
            key={part}
            x={LEFT + part * (WIDTH - LEFT - RIGHT)}
            y={HEIGHT - BOTTOM + 20}
            text-anchor={part === 1 ? 'end' : 'middle'}
          >
            {Math.round(part * last)}
            {part === 1 ? ` ${unit.unit}` : ''}
          </text>
        ))}
        {curve.length > 0 && <path class="band" d={`${line(band)}Z`} />}
        {curve.length > 0 && <path class="fitted" d={line(curve.map(({ share, value }) => [value, share] as const))} />}
        {observed.length > 0 && <path class="observed" d={line(steps)} />}
        {b10 && <line class="b10" x1={x(b10.value)} x2={x(b10.value)} y1={y(0.1)} y2={y(0)} />}
        {b10 && (
          <text x={x(b10.value)} y={HEIGHT - BOTTOM + 36} text-anchor="middle">
            B10
          </text>
        )}
      </svg>
      <figcaption>
        Steps: as observed (Kaplan–Meier).{' '}
        {curve.length > 0 ? 'Line and band: fitted, with 95 % limits.' : 'No curve is drawn from so few.'}
      </figcaption>
      <details>
        <summary>The same as a table</summary>
        <table class="figures stacked">
          <thead>
            <tr>
              <th scope="col" class="number">
                Age, {unit.unit}
              </th>
              <th scope="col" class="number">
                Ended, observed
              </th>
              <th scope="col" class="number">
                95 % limits
              </th>
            </tr>
          </thead>
          <tbody>
            {observed.map(({ time, share, low, high }) => (
              <tr key={time}>
                <td class="number">{decimal(time * unit.value, 1)}</td>
                <td class="number">{percent(share)}</td>
                <td class="number">
                  {percent(low)} to {percent(high)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
        {curve.length > 0 && (
          <table class="figures stacked">
            <thead>
              <tr>
                <th scope="col" class="number">
                  Ended, fitted
                </th>
                <th scope="col" class="number">
                  By age, {unit.unit}
                </th>
                <th scope="col" class="number">
                  95 % limits
                </th>
              </tr>
            </thead>
            <tbody>
              {curve.map(({ share, value, low, high }) => (
                <tr key={share}>
                  <td class="number">{percent(share)}</td>
                  <td class="number">{decimal(value * unit.value, 1)}</td>
                  <td class="number">
                    {decimal(low * unit.value, 1)} to {decimal(high * unit.value, 1)}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </details>
    </figure>
  );
}

/** The end of an axis: the next of 1, 2, 4, 6, 8 times a power of ten, so that its quarters are round. */
function niceEnd(least: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(least, 1)));
  return ([1, 2, 4, 6, 8, 10].find((step) => step * power >= least) ?? 10) * power;
}
