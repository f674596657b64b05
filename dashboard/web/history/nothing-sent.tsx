import type { JSX } from 'preact';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { day, dayAndClock, secondsClock } from '../words/site-time.ts';
import type { Span } from './look.ts';

interface Props {
  readonly answer: HistoryAnswer;
  readonly name: string;
  readonly site: Site;
  readonly goTo: (span: Span) => void;
}

/** Says that a gun has nothing in the span that is looked at, where it has something, and the way there. */
export function NothingSent({ answer, name, site, goTo }: Props): JSX.Element {
  const { from, to, known } = answer;
  if (known === null) return <p>{name} has sent nothing yet.</p>;
  return (
    <p class="look-row">
      <span>
        {name} sent nothing from {dayAndClock(from, site)} to {dayAndClock(to, site)}. Its readings go from{' '}
        {dayAndClock(known.from, site)} to {dayAndClock(known.to, site)}.
      </span>
      {(['before', 'after'] as const).map((side) => {
        const run = answer.nearest?.[side];
        return (
          run && (
            <button type="button" class="button no-print" key={side} onClick={() => goTo(around(run, { from, to }))}>
              The run {side}: {day(run.from, site, from)}, {secondsClock(run.from, site)}
            </button>
          )
        );
      })}
    </p>
  );
}

/** A span of the same length with a run in its middle, or as long as the run takes. */
function around({ from, to }: Span, shown: Span): Span {
  const width = Math.max(shown.to - shown.from, 1.5 * (to - from));
  const middle = (from + to) / 2;
  return { from: middle - width / 2, to: middle + width / 2 };
}
