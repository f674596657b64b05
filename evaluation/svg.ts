/** Text made safe inside HTML and SVG. */
export function escapeText(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');
}

/** The plotting area of a figure: data ranges mapped to pixels. */
export interface Frame {
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
}

/** What a figure's axes look like. */
export interface Axes {
  readonly title: string;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly xTicks: readonly number[];
  readonly yTicks: readonly number[];
  readonly text?: (value: number) => string;
}

/** Size of a figure and the room for its labels, px. Source: own choice: two stand side by side on a page. */
const WIDTH = 460;
const HEIGHT = 300;
const LEFT = 62;
const RIGHT = 26;
const TOP = 14;
const BOTTOM = 46;

/** A figure of inline SVG with labelled axes; `draw` gets the mapping from data to pixels. */
export function figure(axes: Axes, draw: (frame: Frame) => string): string {
  const { title, xLabel, yLabel, xTicks, yTicks, text = String } = axes;
  const frame: Frame = {
    x: scale(xTicks[0]!, xTicks.at(-1)!, LEFT, WIDTH - RIGHT),
    y: scale(yTicks[0]!, yTicks.at(-1)!, HEIGHT - BOTTOM, TOP),
  };
  const across = yTicks.map(
    (tick) =>
      `<line class="grid" x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${px(frame.y(tick))}" y2="${px(frame.y(tick))}"/>` +
      `<text x="${LEFT - 6}" y="${px(frame.y(tick) + 4)}" text-anchor="end">${escapeText(text(tick))}</text>`,
  );
  const along = xTicks.map(
    (tick) =>
      `<text x="${px(frame.x(tick))}" y="${HEIGHT - BOTTOM + 17}" text-anchor="middle">${escapeText(text(tick))}</text>`,
  );
  return `<figure><svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${escapeText(title)}">
${across.join('')}${along.join('')}
<text x="${(LEFT + WIDTH - RIGHT) / 2}" y="${HEIGHT - 8}" text-anchor="middle">${escapeText(xLabel)}</text>
<text transform="translate(13 ${(TOP + HEIGHT - BOTTOM) / 2}) rotate(-90)" text-anchor="middle">${escapeText(yLabel)}</text>
${draw(frame)}
</svg><figcaption>${escapeText(title)}</figcaption></figure>`;
}

/** A pixel position with a tenth of a pixel. */
export function px(value: number): string {
  return value.toFixed(1);
}

function scale(from: number, to: number, start: number, end: number): (value: number) => number {
  return (value) => start + ((value - from) / (to - from)) * (end - start);
}
