import type { JSX } from 'preact';
import type { BenchCheck } from '../../../analyzer/index.ts';
import { FOUND } from '../../../collector/contract/parts.ts';
import { FOUND_WORDS } from '../log/draft.ts';

/** What to know before hands go to the equipment. */
export function Cautions({ cautions, as: Title }: { cautions: readonly string[]; as: 'h2' | 'h3' }): JSX.Element {
  return (
    <section class="cautions">
      <Title class="job-sheet-title">Before you touch anything</Title>
      <ul class="dashes">
        {cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </section>
  );
}

/** A check by hand: how it is done, and how it is judged. */
export function CheckSteps({ check }: { check: BenchCheck }): JSX.Element {
  return (
    <>
      <ol class="steps">
        {check.steps.map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <dl class="judge">
        {FOUND.map((found) => (
          <div key={found}>
            <dt>{FOUND_WORDS[found]}</dt>
            <dd>{check.judge[found]}</dd>
          </div>
        ))}
      </dl>
    </>
  );
}
