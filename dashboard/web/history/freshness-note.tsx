import type { JSX } from 'preact';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { now } from '../link/live.ts';
import { dayAndClock } from '../words/site-time.ts';
import { type Freshness, freshnessOf } from './freshness-of.ts';
import { type Span, zoomed } from './look.ts';

interface Props {
  readonly answer: HistoryAnswer;
  readonly name: string;
  readonly site: Site;
  readonly goTo: (span: Span) => void;
}

/** Time after the last run that is worth cutting off, ms. Source: own choice. */
const SHORT_MS = 24 * 3_600_000;

/** What keeps a picture of the newest time from being today's: a gun that no longer sprays, a page that was opened hours ago. */
export function FreshnessNote({ answer, name, site, goTo }: Props): JSX.Element | null {
  const found: Freshness = freshnessOf(answer, now.value);
  if (!found.isSilent && !found.isOld) return null;
  return (
    <p class="look-row" role="status">
      {found.isSilent && answer.known !== null && (
        <>
          <strong>
            {name} has sent nothing since {dayAndClock(answer.known.to, site)}.
          </strong>{' '}
          {answer.to - answer.known.to > SHORT_MS && (
            <button type="button" class="button no-print" onClick={() => goTo(upToLastRun(answer, answer.known!))}>
              Up to its last reading
            </button>
          )}
        </>
      )}
      {found.isOld && (
        <>
          What was read after {dayAndClock(answer.to, site)} is not in this picture.{' '}
          <button type="button" class="button no-print" onClick={() => goTo(found.upToNow)}>
            Up to now
          </button>
        </>
      )}
    </p>
  );
}

/** What is shown before the last run, and a little beyond it, so that the run does not end at the edge. */
function upToLastRun({ from }: Span, known: Span): Span {
  const shown = { from: Math.max(from, known.from), to: known.to + 1 };
  return { from: shown.from, to: zoomed(shown, 1.05, 0).to };
}
