import type { EventRow } from './event-rows.ts';
import type { Span } from './look.ts';

/** One chart as it stands on the page. */
export interface Pictured {
  readonly title: string;
  readonly canvas: HTMLCanvasElement;
}

/** What happened, to be drawn above the charts on their time line. */
export interface PicturedEvents {
  readonly rows: readonly EventRow[];
  readonly span: Span;
  /** Room beside the charts' curves, CSS px. */
  readonly left: number;
  readonly right: number;
}

const LINE = 22;
const FILLS: Readonly<Record<string, string>> = {
  powder: '--rule-soft',
  'powder-next': '--rule',
  work: '--ink',
  'left-out': '--edge',
  'finding maintenance-required': '--maintain',
  'finding out-of-specification': '--out',
  'finding function-check': '--check',
  'finding failure': '--failure',
};

/** All charts below each other in one PNG, under a line that says what and when, handed to the browser as a download. */
export function savePicture(
  heading: string,
  charts: readonly Pictured[],
  fileName: string,
  events: PicturedEvents | null = null,
): void {
  const ratio = devicePixelRatio;
  const width = Math.max(...charts.map(({ canvas }) => canvas.width));
  const rows = events?.rows.length ?? 0;
  const above = (2 + rows) * LINE * ratio;
  const height = charts.reduce((sum, { canvas }) => sum + canvas.height + 1.5 * LINE * ratio, above);
  const sheet = document.createElement('canvas');
  sheet.width = width;
  sheet.height = height;
  const pen = sheet.getContext('2d');
  if (!pen) throw new Error('this browser has no canvas');
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  pen.fillStyle = colour('--sheet');
  pen.fillRect(0, 0, width, height);
  pen.fillStyle = colour('--ink');
  pen.font = `600 ${LINE * 0.8 * ratio}px ${style.fontFamily}`;
  pen.fillText(heading, 8 * ratio, LINE * 1.2 * ratio);
  if (events !== null) drawEvents(pen, events, width, ratio, colour);
  pen.fillStyle = colour('--ink');
  let top = above;
  for (const { title, canvas } of charts) {
    pen.fillText(title, 8 * ratio, top + LINE * ratio);
    pen.drawImage(canvas, 0, top + 1.5 * LINE * ratio);
    top += canvas.height + 1.5 * LINE * ratio;
  }
  const link = document.createElement('a');
  link.download = fileName;
  link.href = sheet.toDataURL('image/png');
  link.click();
}

function drawEvents(
  pen: CanvasRenderingContext2D,
  { rows, span, left, right }: PicturedEvents,
  width: number,
  ratio: number,
  colour: (name: string) => string,
): void {
  const from = left * ratio;
  const across = width - from - right * ratio;
  const x = (time: number): number =>
    from + Math.min(1, Math.max(0, (time - span.from) / (span.to - span.from))) * across;
  for (const [index, { name, marks }] of rows.entries()) {
    const top = (2 + index) * LINE * ratio - 0.25 * LINE * ratio;
    pen.fillStyle = colour('--ink');
    pen.fillText(name, 8 * ratio, top + 0.6 * LINE * ratio, from - 12 * ratio);
    for (const mark of marks) {
      pen.fillStyle = colour(FILLS[mark.kind] ?? '--ink');
      pen.fillRect(x(mark.from), top, Math.max(2 * ratio, x(mark.to) - x(mark.from)), 0.7 * LINE * ratio);
    }
  }
}
