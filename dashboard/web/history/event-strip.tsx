import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { Unfolded } from '../shop/unfolded.tsx';
import type { TimeStyle } from '../words/site-time.ts';
import { lanesOf } from './event-lanes.ts';
import { type EventRow, inOrder, kindsOf, type Mark, markTime } from './event-rows.ts';
import type { Span } from './look.ts';

interface Props {
  readonly rows: readonly EventRow[];
  readonly span: Span;
  readonly style: TimeStyle;
}

/** Heights of a row, and of a lane where several things are at once, px. */
const ROW = 26;
const LANE = 15;
const WIDTH = 1000;
/** Things that are read at once. Source: own choice; a nearer look has fewer. */
const MOST = 200;

const classOf = (kind: string): string => `event-${kind.replace(' ', ' event-')}`;

/** What happened, on the same time line as the charts, and below it as a list for who cannot point at it. */
export function EventStrip({ rows, span, style }: Props): JSX.Element {
  /** What the pointer is on: words for all of some hundred things would take longer than all else on the page. */
  const [over, setOver] = useState<Mark | null>(null);
  if (rows.length === 0) return <p class="soft">Nothing was found or logged in this span.</p>;
  const x = (time: number): number =>
    ((Math.min(Math.max(time, span.from), span.to) - span.from) / (span.to - span.from)) * WIDTH;
  const titled = (mark: Mark): string => `${mark.text}, ${markTime(mark, style)}`;
  const kinds = kindsOf(rows);
  return (
    <>
      <div class="events">
        {rows.map(({ name, marks }) => {
          const { lanes, count } = lanesOf(marks);
          const height = Math.max(ROW, LANE * count);
          return (
            <div class="events-row" key={name}>
              <span class="events-name">{name}</span>
              <svg
                viewBox={`0 0 ${WIDTH} ${height}`}
                height={height}
                preserveAspectRatio="none"
                role="img"
                aria-label={`${name}: ${marks.length}, told in the list below`}
              >
                {marks.map((mark, place) => (
                  <rect
                    key={`${mark.from} ${mark.to} ${mark.text}`}
                    x={x(mark.from)}
                    y={3 + (lanes[place]! * (height - 3)) / count}
                    width={Math.max(2, x(mark.to) - x(mark.from))}
                    height={(height - 3) / count - 3}
                    class={classOf(mark.kind)}
                    onPointerEnter={() => setOver(mark)}
                  >
                    {over === mark && <title>{titled(mark)}</title>}
                  </rect>
                ))}
              </svg>
            </div>
          );
        })}
      </div>
      {kinds.length > 0 && (
        <ul class="events-kinds">
          {kinds.map(({ kind, words }) => (
            <li key={kind}>
              <svg viewBox="0 0 40 20" aria-hidden="true">
                <rect x={2} y={2} width={36} height={16} class={classOf(kind)} />
              </svg>
              {words}
            </li>
          ))}
        </ul>
      )}
      <Unfolded summary="What happened, as a list">
        {() => {
          const all = inOrder(rows);
          return (
            <>
              {all.length > MOST && (
                <p class="soft">
                  The newest {MOST} of {all.length}; a nearer look tells the others.
                </p>
              )}
              <ol class="dashes">
                {all.slice(-MOST).map(({ name, mark }) => (
                  <li key={`${name} ${mark.from} ${mark.to} ${mark.text}`}>
                    {markTime(mark, style)}. {name}: {mark.text}
                  </li>
                ))}
              </ol>
            </>
          );
        }}
      </Unfolded>
    </>
  );
}
