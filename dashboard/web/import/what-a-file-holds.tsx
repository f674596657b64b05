import type { JSX } from 'preact';

/** What a file has to hold, for who has not given one yet. */
export function WhatAFileHolds(): JSX.Element {
  return (
    <section aria-label="What a file holds">
      <h2>What a file holds</h2>
      <p>One line of headings, then one row for each time. What the columns are is asked once the file is chosen.</p>
      <ul class="dashes">
        <li>A time, in one column or as day and clock in two: with its offset, or as the wall clock of a time zone.</li>
        <li>
          Readings with a known unit each: at least conveying pressure, conveying flow, and powder output or the weight
          on a scale. Trigger, ripple, supplementary and fluidizing air, supply and powder help to tell parts apart.
        </li>
        <li>The gun: a column with its id, or one gun for the whole file or for single columns.</li>
        <li>Comma, semicolon or tab between columns; comma or point in numbers; empty where nothing was read.</li>
      </ul>
      <p>As driftline itself writes it, which needs no settings at all:</p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <pre class="sample" tabIndex={0}>
        {EXAMPLE}
      </pre>
      <p class="soft">
        First rows are shown with what becomes of them, and a dry run reads the whole file. Nothing is stored before you
        say so. The log of work is not part of it: it is written under <a href="/log">Log work</a>.
      </p>
    </section>
  );
}

const EXAMPLE = [
  'time,gun,trigger,conveying/pressure,conveying/flow,powder/output,powder/id',
  '2026-03-02T06:00:00+01:00,gun-01,1,1.62,2.41,152,p-white-07',
  '2026-03-02T06:00:05+01:00,gun-01,0,0.00,0.01,,p-white-07',
].join('\n');
