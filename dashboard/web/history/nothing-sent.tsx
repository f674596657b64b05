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
      <NearRuns {...{ answer, site, goTo }} />
    </p>
  );
}

/** Says that readings are all that a span has, as of a gun that rests, and the way to where it sprayed. */
export function NothingSprayed({ answer, name, site, goTo }: Props): JSX.Element | null {
  if (answer.times.length === 0 || (answer.nearest?.before ?? answer.nearest?.after ?? null) === null) return null;
  return (
    <p class="look-row">
      <span>No whole spray run of {name} lies in this span.</span>
      <NearRuns {...{ answer, site, goTo }} />
    </p>
  );
}

function NearRuns({ answer, site, goTo }: Omit<Props, 'name'>): JSX.Element {
  const { from, to, nearest } = answer;
  return (
    <>
      {(['before', 'after'] as const).map((side) => {
        const run = nearest?.[side];
        return (
          run && (
            <button type="button" class="button no-print" key={side} onClick={() => goTo(around(run, { from, to }))}>
              The run {side}: {day(run.from, site, from)}, {secondsClock(run.from, site)}
            </button>
          )
        );
      })}
    </>
  );
}

/** A span of the same length with a run in its middle, or as long as the run takes. */
function around({ from, to }: Span, shown: Span): Span {
  const width = Math.max(shown.to - shown.from, 1.5 * (to - from));
  const middle = (from + to) / 2;
  return { from: middle - width / 2, to: middle + width / 2 };
}
