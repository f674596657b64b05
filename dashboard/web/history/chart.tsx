import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { decimal } from '../words/figures.ts';
import { clock, day, secondsClock, type TimeStyle, zonedDate } from '../words/site-time.ts';
import { aloneAt } from './alone.ts';
import type { Line } from './line.ts';
import { type Span, TOLD_BY_SECONDS_MS, zoomed } from './look.ts';
import type { Dash } from './panels.ts';
import { STACK } from './stack.ts';
import { tickLabels, withoutCutLast } from './tick-labels.ts';

interface Props {
  readonly title: string;
  readonly unit: string;
  readonly times: readonly number[];
  readonly lines: readonly Line[];
  readonly span: Span;
  readonly style: TimeStyle;
  readonly digits: number;
  /** Where its scale ends; null where that takes in every value. */
  readonly top: number | null;
  readonly onZoom: (span: Span) => void;
  readonly onCanvas: (canvas: HTMLCanvasElement | null) => void;
}

/** Lines that are told apart without colour, px drawn and px left out. */
const DASHES: Readonly<Record<Dash, readonly number[]>> = { solid: [], dashed: [8, 5], dotted: [2, 4] };

const HEIGHT = 190;
/** Room left and right of the curves, px; the strip of events above has the same (`history.css`), so that times stand below each other. */
export const SIDES = { left: 64, right: 20 };

/** Spans beyond this have days on their axis. Source: own choice. */
const SHORT_WORDS_MS = 4 * 86_400_000;
/** Spans beyond this tell the year of what is read off. Source: own choice. */
const HALF_YEAR_MS = 180 * 86_400_000;

/** Width on paper, CSS px. Source: A4 (ISO 216) less its margins of 15 mm (`print.css`), 180 mm at 96 px an inch; Letter has 3 % more, and what is drawn is stretched by that. */
const PAPER_PX = 680;

/** Width of the stack, px, while its charts are being made; null otherwise. */
let stackWidth: number | null = null;

/** Charts of a stack are as wide as each other: measured for each, between others that were just put in, the page would be laid out as often. */
function widthOf(element: HTMLElement): number {
  if (stackWidth === null) {
    stackWidth = element.clientWidth;
    setTimeout(() => {
      stackWidth = null;
    });
  }
  return stackWidth;
}

/** A chart of a stack that all share their times and one cursor. Dragging over it looks nearer, a double click farther. */
export function Chart(props: Props): JSX.Element {
  const place = useRef<HTMLDivElement>(null);
  const { title, unit, times, lines, span, style, digits, top, onZoom, onCanvas } = props;
  useEffect(() => {
    const element = place.current;
    if (!element) return;
    const plot = new uPlot(optionsOf(props, widthOf(element)), dataOf(times, lines), element);
    onCanvas(plot.ctx.canvas);
    // It tells the first size too, which a chart has already: to set it would draw it twice.
    const observer = new ResizeObserver(() => {
      const { clientWidth: width } = element;
      if (width !== plot.width) plot.setSize({ width, height: HEIGHT });
    });
    observer.observe(element);
    // A canvas that is only made smaller has letters nobody reads, and its times no longer stand below those of the strip.
    const toPaper = (): void => plot.setSize({ width: PAPER_PX, height: HEIGHT });
    const toScreen = (): void => plot.setSize({ width: element.clientWidth, height: HEIGHT });
    addEventListener('beforeprint', toPaper);
    addEventListener('afterprint', toScreen);
    return () => {
      removeEventListener('beforeprint', toPaper);
      removeEventListener('afterprint', toScreen);
      observer.disconnect();
      onCanvas(null);
      plot.destroy();
    };
    // A chart is cheap to draw anew; what it shows decides when.
  }, [title, unit, times, lines, span.from, span.to, style, digits, top, onZoom, onCanvas]);
  return (
    <figure class="chart">
      <figcaption>
        {title}, <span class="soft">{unit}</span>
      </figcaption>
      <div ref={place} class="chart-place" aria-hidden="true" />
    </figure>
  );
}

function dataOf(times: readonly number[], lines: readonly Line[]): uPlot.AlignedData {
  const columns = lines.flatMap(({ values, band }) => (band === null ? [values] : [band.low, band.high, values]));
  return [times.map((time) => time / 1000), ...columns] as uPlot.AlignedData;
}

function optionsOf({ lines, span, style, digits, top, onZoom }: Props, width: number): uPlot.Options {
  const ink = getComputedStyle(document.documentElement);
  const colour = (name: string): string => ink.getPropertyValue(name).trim();
  const at = span.to - span.from < TOLD_BY_SECONDS_MS ? secondsClock : clock;
  // Over more than half a year a day and month alone may be of either year.
  const year = span.to - span.from > HALF_YEAR_MS ? Number.POSITIVE_INFINITY : null;
  const told = (value: number | null | undefined): string => (value == null ? '–' : decimal(value, digits));
  const series: uPlot.Series[] = [
    {
      label: 'Time',
      class: 'unmarked',
      value: (_plot, seconds) =>
        seconds === null ? '–' : `${day(seconds * 1000, style, year)} ${at(seconds * 1000, style)}`,
    },
  ];
  const bands: uPlot.Band[] = [];
  const dashOf = new Map<number, Dash>();
  for (const { label, dash, faint, band, values } of lines) {
    if (band !== null) {
      // Before their line, so that the band lies under it.
      const first = series.length;
      const edge = { stroke: 'transparent', points: { show: false }, class: 'band-edge' };
      series.push({ label: `${label}, lowest`, ...edge }, { label: `${label}, highest`, ...edge });
      bands.push({ series: [first + 1, first], fill: `${colour('--rule')}99` });
    }
    const place = series.length;
    dashOf.set(place, dash);
    const alone = aloneAt(values);
    series.push({
      label,
      stroke: colour(faint ? '--edge' : '--ink'),
      width: faint ? 1.25 : 2,
      dash: [...DASHES[dash]],
      // Where no line shows; on a line they would hide what tells it from the others.
      points: { show: alone.length > 0, size: 5, filter: () => alone },
      // The band is read beside its line, which leaves room where there is little.
      value: (plot, value, _series, at) => {
        if (band === null || value == null || at == null) return told(value);
        const [low, high] = [plot.data[place - 2]?.[at], plot.data[place - 1]?.[at]].map(told);
        return low === high ? told(value) : `${told(value)} (${low} to ${high})`;
      },
    });
  }
  const axis = {
    stroke: colour('--ink-soft'),
    font: `15px ${ink.fontFamily}`,
    grid: { stroke: colour('--rule-soft') },
    ticks: { stroke: colour('--rule') },
  };
  return {
    width,
    height: HEIGHT,
    padding: [null, SIDES.right, null, 0],
    series,
    bands,
    // The library's own makes a formatter for every mark.
    tzDate: (seconds) => zonedDate(seconds * 1000, style.timezone),
    scales: {
      x: { min: span.from / 1000, max: span.to / 1000 },
      // What stands beyond is drawn up to the edge. The room above is the library's own.
      ...(top === null ? {} : { y: { range: (_plot, low) => uPlot.rangeNum(low, top, 0.1, true) } }),
    },
    axes: [
      {
        ...axis,
        // Days are short words, clock times with seconds long ones.
        space: span.to - span.from > SHORT_WORDS_MS ? 60 : 90,
        values: (_plot, ticks, _axis, _space, step) =>
          withoutCutLast(
            tickLabels(
              ticks.map((seconds) => seconds * 1000),
              step * 1000,
              style,
            ),
            SIDES.right + (width - SIDES.left - SIDES.right) * shareLeft(ticks.at(-1) ?? 0, span),
          ),
      },
      { ...axis, size: SIDES.left, values: (_plot, ticks) => ticks.map((tick) => String(Number(tick.toPrecision(6)))) },
    ],
    legend: { live: true, markers: { dash: (_plot, at) => dashOf.get(at) ?? 'solid' } },
    cursor: {
      sync: { key: STACK.key },
      drag: { x: true, y: false, setScale: false },
      bind: {
        dblclick: () => () => {
          onZoom(zoomed(span, 4));
          return null;
        },
      },
    },
    hooks: {
      setSelect: [
        (plot) => {
          const { left, width: selected } = plot.select;
          if (selected < 4) return;
          onZoom({ from: plot.posToVal(left, 'x') * 1000, to: plot.posToVal(left + selected, 'x') * 1000 });
        },
      ],
    },
  };
}

/** How much of a span lies behind a time in it. */
function shareLeft(seconds: number, { from, to }: Span): number {
  return (to - seconds * 1000) / (to - from);
}
