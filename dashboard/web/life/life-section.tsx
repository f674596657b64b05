import type { JSX } from 'preact';
import type { LifeGroup } from '../../server/shop/life-model.ts';
import { decimal } from '../words/figures.ts';
import { money } from '../words/shop-units.ts';
import type { Quantity } from '../words/units.ts';
import { LifePlot } from './life-plot.tsx';

interface Props {
  readonly title: string;
  readonly group: LifeGroup;
  /** Unit that is shown, and how many of it are one of the answer's. */
  readonly unit: Quantity;
  readonly currency: string;
}

/** One part's lives: figures, plot with its table, and the best age of a change. */
export function LifeSection({ title, group, unit, currency }: Props): JSX.Element {
  const { shape, b10, median, best, enough, says, lives, ended, unweighed } = group;
  const told = (value: number): string =>
    `${decimal(value * unit.value, value * unit.value < 10 ? 1 : 0)}\u202f${unit.unit}`;
  const limits = (found: NonNullable<LifeGroup['b10']>): string =>
    `${told(found.value)} (${told(found.low)} to ${told(found.high)})`;
  return (
    <section class="life">
      <h2>{title}</h2>
      <p>
        <strong class={enough === 'enough' ? '' : 'thin'}>
          {enough === 'enough' ? 'Enough data.' : enough === 'thin' ? 'Thin data.' : 'Too thin.'}
        </strong>{' '}
        {says}
        {unweighed > 0 && ` ${unweighed} more without known powder are not in it.`}
      </p>
      <dl class="facts">
        <div>
          <dt>Lives known</dt>
          <dd>
            {lives}, of them {ended} to the end
          </dd>
        </div>
        {b10 && (
          <div>
            <dt>A tenth has ended by (B10)</dt>
            <dd>{limits(b10)}</dd>
          </div>
        )}
        {median && (
          <div>
            <dt>Half have ended by</dt>
            <dd>{limits(median)}</dd>
          </div>
        )}
        {shape && (
          <div>
            <dt>Weibull shape</dt>
            <dd>
              {shape.value.toFixed(1)} ({shape.low.toFixed(1)} to {shape.high.toFixed(1)})
            </dd>
          </div>
        )}
        <div>
          <dt>Best age to change in time</dt>
          <dd>{best.age === null ? 'none said' : told(best.age)}</dd>
        </div>
        {best.costRate !== null && best.costRateToEnd !== null && (
          <div>
            <dt>Costs then, and run to the end</dt>
            <dd>
              {money(best.costRate / unit.value, currency)} and {money(best.costRateToEnd / unit.value, currency)} per{' '}
              {unit.unit}
            </dd>
          </div>
        )}
      </dl>
      {best.says !== says && <p>{best.says}</p>}
      {(group.observed.length > 0 || group.curve.length > 0) && <LifePlot title={title} group={group} unit={unit} />}
    </section>
  );
}
