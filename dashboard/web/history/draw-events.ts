import { lanesOf } from './event-lanes.ts';
import { type EventRow, kindsOf, type Mark } from './event-rows.ts';
import type { Span } from './look.ts';

/** What happened, to be drawn above the charts on their time line. */
export interface PicturedEvents {
  readonly rows: readonly EventRow[];
  readonly span: Span;
  /** Room beside the charts' curves, CSS px. */
  readonly left: number;
  readonly right: number;
}

/** Where it is drawn; all lengths in pixels of the canvas. */
interface Sheet {
  readonly width: number;
  /** Pixels of the canvas for one of the page. */
  readonly ratio: number;
  readonly top: number;
  /** Height of a row. */
  readonly line: number;
  readonly colour: (name: string) => string;
}

interface Look {
  /** A colour of the page; null for an outline alone. */
  readonly fill: string | null;
  /** An outline tells kinds apart for those who do not see their colours: px drawn and left out; null for none. */
  readonly dash: readonly number[] | null;
  readonly text: string;
}

/** As the page's own strip (`history.css`). */
const LOOKS: Readonly<Record<string, Look>> = {
  powder: { fill: '--rule-soft', dash: null, text: '--ink' },
  'powder-next': { fill: '--rule', dash: null, text: '--ink' },
  'left-out': { fill: null, dash: [6, 4], text: '--ink' },
  'finding maintenance-required': { fill: '--maintain', dash: [], text: '--sheet' },
  'finding out-of-specification': { fill: '--out', dash: [8, 4], text: '--ink' },
  'finding function-check': { fill: '--check', dash: [2, 3], text: '--ink' },
  'finding failure': { fill: '--failure', dash: [], text: '--ink' },
};
const WORK: Look = { fill: '--ink', dash: null, text: '--sheet' };

/** Rows that the picture of events takes: one for each kind of thing, more where they overlap, and one that says what the findings' looks mean. */
export function rowsOf(events: PicturedEvents): number {
  const lanes = events.rows.reduce((sum, { marks }) => sum + lanesOf(marks).count, 0);
  return lanes + (kindsOf(events.rows).length > 0 ? 1 : 0);
}

/** What happened, in rows on the charts' time line: each mark with its letter or name where there is room, and below them what letters mean. */
export function drawEvents(pen: CanvasRenderingContext2D, events: PicturedEvents, sheet: Sheet): void {
  const { rows, span, left, right } = events;
  const { width, ratio, top, line, colour } = sheet;
  const from = left * ratio;
  const across = width - from - right * ratio;
  const x = (time: number): number =>
    from + Math.min(1, Math.max(0, (time - span.from) / (span.to - span.from))) * across;
  let y = top;
  for (const { name, marks } of rows) {
    const { lanes, count } = lanesOf(marks);
    pen.fillStyle = colour('--ink');
    pen.fillText(name, 8 * ratio, y + 0.68 * line, from - 12 * ratio);
    for (const [place, mark] of marks.entries())
      drawMark(pen, mark, { ...sheet, top: y + lanes[place]! * line, from: x(mark.from), to: x(mark.to) });
    y += count * line;
  }
  let at = from;
  for (const { kind, letter, words } of kindsOf(rows)) {
    drawMark(pen, { kind, brief: [letter] }, { ...sheet, top: y, from: at, to: at + 1.4 * line });
    pen.fillStyle = colour('--ink');
    pen.fillText(words, at + 1.8 * line, y + 0.68 * line);
    at += 3 * line + pen.measureText(words).width;
  }
}

interface Place extends Sheet {
  readonly from: number;
  readonly to: number;
}

function drawMark(pen: CanvasRenderingContext2D, { kind, brief }: Pick<Mark, 'kind' | 'brief'>, place: Place): void {
  const { from, to, top, line, ratio, colour } = place;
  const { fill, dash, text } = LOOKS[kind] ?? WORK;
  const [width, height] = [Math.max(2 * ratio, to - from), 0.82 * line];
  if (fill !== null) {
    pen.fillStyle = colour(fill);
    pen.fillRect(from, top, width, height);
  }
  if (dash !== null) {
    pen.strokeStyle = colour('--ink');
    pen.lineWidth = (kind === 'finding failure' ? 3 : 1.25) * ratio;
    pen.setLineDash(dash.map((length) => length * ratio));
    pen.strokeRect(from, top, width, height);
    pen.setLineDash([]);
  }
  const shown = brief.find((words) => pen.measureText(words).width + 8 * ratio <= width);
  if (shown === undefined) return;
  pen.fillStyle = colour(text);
  pen.fillText(shown, from + (width - pen.measureText(shown).width) / 2, top + 0.64 * line);
}
