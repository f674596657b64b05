import { drawEvents, type PicturedEvents, rowsOf } from './draw-events.ts';

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
  const above = (2 + (events === null ? 0 : rowsOf(events))) * LINE * ratio;
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
  if (events !== null) drawEvents(pen, events, { width, ratio, colour, top: 1.75 * LINE * ratio, line: LINE * ratio });
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
