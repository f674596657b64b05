import type { JSX } from 'preact';
import type { BaselineAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { borrowedWord } from '../words/baseline-words.ts';
import { dayAndClock } from '../words/site-time.ts';
import { flow, output, percent, told } from '../words/units.ts';

const signed = (share: number): string => `${share < 0 ? '−' : '+'}${Math.abs(100 * share).toFixed(0)}\u202f%`;

/** Where the level of a new insert comes from, and how sure it is. */
export function LevelFacts({ answer, site }: { answer: BaselineAnswer; site: Site }): JSX.Element | null {
  const { borrowed, besideSite, insertSince } = answer;
  const inUse = answer.powders.find((one) => one.inUse) ?? answer.powders[0];
  if (borrowed === null || inUse === undefined) return null;
  const { air, low, high, output: at } = inUse.atGunsUsual;
  const digits = site.units === 'us' ? 1 : 0;
  const names = borrowed.from.map((id) => site.guns.find((gun) => gun.id === id)?.name ?? id);
  return (
    <section aria-label="Level of a new insert">
      <h2>Level of a new insert</h2>
      <dl class="facts">
        <div>
          <dt>Need at {told(output(at, site.units), digits)}</dt>
          <dd>
            {told(flow(air, site.units), 2)}, between {flow(low, site.units).value.toFixed(2)} and{' '}
            {flow(high, site.units).value.toFixed(2)} with 80 % ({signed(low / air - 1)} to {signed(high / air - 1)})
          </dd>
        </div>
        {besideSite !== null && (
          <div>
            <dt>Beside the mean of the site’s guns</dt>
            <dd>
              {signed(besideSite.share)} air ({signed(besideSite.low)} to {signed(besideSite.high)})
            </dd>
          </div>
        )}
        <div>
          <dt>Insert in it now</dt>
          <dd>
            {insertSince === null
              ? 'of unknown age: a new one has not been seen here yet'
              : `known since ${dayAndClock(insertSince, site)}: a new one has been seen here`}
          </dd>
        </div>
        <div>
          <dt>Level</dt>
          <dd>
            {borrowedWord(borrowed.level)} ({percent(borrowed.level)} of its first uncertainty is left)
          </dd>
        </div>
        <div>
          <dt>Slope of the curve</dt>
          <dd>
            {borrowedWord(borrowed.slope)} ({percent(borrowed.slope)} left)
          </dd>
        </div>
        <div>
          <dt>Learns together with</dt>
          <dd>{names.length === 0 ? 'no other gun: nothing can be borrowed' : names.join(', ')}</dd>
        </div>
      </dl>
    </section>
  );
}
