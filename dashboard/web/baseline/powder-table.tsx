import type { JSX } from 'preact';
import type { BaselineAnswer, NeedAt } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { powderName } from '../words/baseline-words.ts';
import { decimal } from '../words/figures.ts';
import { flow, output } from '../words/units.ts';

/** Powders side by side: what a new insert needs with each, at its own usual output and at the gun's. */
export function PowderTable({ answer, site }: { answer: BaselineAnswer; site: Site }): JSX.Element {
  const { units } = site;
  const air = ({ air: mid, low, high }: NeedAt): string => {
    const told = [mid, low, high].map((one) => flow(one, units).value.toFixed(2));
    return `${told[0]} (${told[1]} to ${told[2]})`;
  };
  const out = ({ output: one }: NeedAt): string => decimal(output(one, units).value, units === 'us' ? 1 : 0);
  const usual = answer.powders[0]!.atGunsUsual;
  const head = [
    'Powder',
    `Usual output, ${output(0, units).unit}`,
    `Need there, ${flow(0, units).unit}`,
    `Need at ${out(usual)} ${output(0, units).unit}, ${flow(0, units).unit}`,
    'Beside the one in use',
    'Runs until known',
  ];
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
    <section class="numbers-scroll" tabIndex={0} aria-label="Powders side by side">
      <table class="stacked">
        <caption>Powders side by side: air that a new insert needs, with 80 % between</caption>
        <thead>
          <tr>
            {head.map((one) => (
              <th scope="col" key={one}>
                {one}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {answer.powders.map(({ powder, inUse, usual: own, atGunsUsual, beside, runs, runsNeeded }) => (
            <tr key={powder}>
              <th scope="row">
                {powderName(powder, site)}
                {inUse ? ' (in use)' : ''}
              </th>
              <td>{out(own)}</td>
              <td>{air(own)}</td>
              <td>{air(atGunsUsual)}</td>
              <td>{inUse ? '–' : `${beside < 0 ? '−' : '+'}${Math.abs(100 * beside).toFixed(1)}\u202f%`}</td>
              <td>{runs >= runsNeeded ? 'known' : `${runs} of ${runsNeeded}`}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
