import type { JSX } from 'preact';

/** What the figures of a trial on the past mean, wherever they stand. */
export function TallyLegend(): JSX.Element {
  return (
    <p class="soft">
      In time: raised at least the wanted notice before the part was found worn; late: with less notice; missed: no
      finding named the part when it was found worn. A finding counts as false when the part was found good, when
      another part was the worn one, or when it cleared with nothing done; as not known while it is open, was judged not
      sure, or may have cleared by a change that nobody has confirmed or dismissed yet (under{' '}
      <a href="/findings">Findings</a>). Warning: mean spray hours from the finding to when the part was found worn, 0
      where it was missed. In brackets: where the true figure lies with 95 % confidence.
    </p>
  );
}
