import { drawEvents, type PicturedEvents, rowsOf } from './draw-events.ts';
import { wrapped } from './wrapped.ts';

/** One chart as it stands on the page. */
export interface Pictured {
  readonly title: string;
  readonly canvas: HTMLCanvasElement;
}

const LINE = 22;

/** All charts below each other in one PNG, under a line that says what and when, handed to the browser as a download. */
export function savePicture(
  heading: string,
  charts: readonly Pictured[],
  fileName: string,
  events: PicturedEvents | null = null,
): void {
  const ratio = devicePixelRatio;
  const width = Math.max(...charts.map(({ canvas }) => canvas.width));
  const line = LINE * ratio;
  const sheet = document.createElement('canvas');
  const pen = sheet.getContext('2d');
  if (!pen) throw new Error('this browser has no canvas');
  const style = getComputedStyle(document.documentElement);
  const font = `600 ${LINE * 0.8 * ratio}px ${style.fontFamily}`;
  pen.font = font;
  // On a phone neither what and when nor what the lines mean has room in one line.
  const inLines = (text: string): string[] => wrapped(text, width - 16 * ratio, (some) => pen.measureText(some).width);
  const head = inLines(heading);
  const titled = charts.map(({ title, canvas }) => ({ titles: inLines(title), canvas }));
  const above = (1 + head.length + (events === null ? 0 : rowsOf(events))) * line;
  sheet.width = width;
  sheet.height = titled.reduce((sum, { titles, canvas }) => sum + canvas.height + (0.5 + titles.length) * line, above);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  pen.fillStyle = colour('--sheet');
  pen.fillRect(0, 0, width, sheet.height);
  pen.fillStyle = colour('--ink');
  // A sheet of another size has forgotten it.
  pen.font = font;
  for (const [place, text] of head.entries()) pen.fillText(text, 8 * ratio, (1.2 + place) * line);
  if (events !== null) drawEvents(pen, events, { width, ratio, colour, top: (0.75 + head.length) * line, line });
  pen.fillStyle = colour('--ink');
  let top = above;
  for (const { titles, canvas } of titled) {
    for (const [place, text] of titles.entries()) pen.fillText(text, 8 * ratio, top + (1 + place) * line);
    top += (0.5 + titles.length) * line;
    pen.drawImage(canvas, 0, top);
    top += canvas.height;
  }
  const link = document.createElement('a');
  link.download = fileName;
  link.href = sheet.toDataURL('image/png');
  link.click();
}
