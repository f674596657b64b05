import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import type { CostAnswer, StatedCosts, StatedLosses } from '../../server/shop/cost-model.ts';
import { Frame } from '../frame/frame.tsx';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { WithoutRuns } from '../shop/without-runs.tsx';
import { inUnits } from '../words/in-units.ts';
import { CostTable } from './cost-table.tsx';
import { energyWords } from './figure-units.ts';
import { FiguresForm } from './figures-form.tsx';
import { LossesForm } from './losses-form.tsx';

/** What wear costs, by gun and month, and the shop's own figures behind it. */
export function CostScreen(): JSX.Element {
  const cost = useLoaded<CostAnswer>('/api/cost');
  const figures = useLoaded<StatedCosts>('/api/cost/figures');
  const losses = useLoaded<StatedLosses[]>('/api/cost/losses');
  const site = useLoaded<Site>('/api/site');
  const reload = async (): Promise<void> => {
    await Promise.all([cost.reload(), figures.reload(), losses.reload()]);
  };
  return (
    <Frame title="Cost of wear" page="cost" wide>
      <Waiting fault={cost.fault} empty={cost.data === null} />
      {cost.data && site.data && (
        <>
          <p class="lead">{cost.data.says}</p>
          <WithoutRuns what="Costs" style={site.data} />
          <CostTable cost={cost.data} site={site.data} />
          <p class="soft">
            Excess air is conveying air over what a new insert needs for the same output with the same powder,{' '}
            {site.data.units === 'us' ? 'at 68 °F and 14.696 psi' : 'at 0 °C and 1013.25 hPa'}. Energy:{' '}
            {energyWords(cost.data.specificEnergy.value, site.data.units)}.{' '}
            {inUnits(cost.data.specificEnergy.source, site.data.units)}
          </p>
          <p class="no-print row">
            <button type="button" class="button" onClick={() => print()}>
              Print
            </button>
            <a class="button" href="/api/cost.csv" download>
              Save as CSV
            </a>
          </p>
        </>
      )}
      {losses.data && site.data && cost.data && (
        <LossesForm losses={losses.data} site={site.data} month={cost.data.to} onStated={reload} />
      )}
      {figures.data && site.data && (
        <FiguresForm units={site.data.units} key={figures.data.version} stated={figures.data} onStated={reload} />
      )}
      <Waiting fault={figures.fault ?? losses.fault} empty={false} />
    </Frame>
  );
}
