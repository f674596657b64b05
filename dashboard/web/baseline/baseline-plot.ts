import type { BaselineAnswer, NeedAt, TaughtPoint } from '../../../analyzer/index.ts';

/** What the picture shows, in the plant's units. */
export interface Plotted {
  readonly curves: readonly { readonly name: string; readonly inUse: boolean; readonly curve: readonly NeedAt[] }[];
  readonly points: readonly Pick<TaughtPoint, 'air' | 'output' | 'kind'>[];
  readonly x: { readonly from: number; readonly to: number; readonly label: string };
  readonly y: { readonly from: number; readonly to: number; readonly label: string };
  /** Output that is being read; null for none. */
  readonly read: number | null;
}

/** Colours of the page, as they are now. */
export interface Inks {
  readonly ink: string;
  readonly soft: string;
  readonly rule: string;
  readonly band: string;
  readonly sheet: string;
  readonly font: string;
}

const PAD = { left: 64, right: 16, top: 12, bottom: 52 };
/** Lines of the powders: solid for the one in use, then these. */
const DASHES = [[], [10, 5], [3, 4], [12, 4, 3, 4]] as const;

/** Where outputs and air lie on a picture of this size, CSS pixels. */
export function placesOf(
  { x, y }: Plotted,
  width: number,
  height: number,
): {
  readonly x: (output: number) => number;
  readonly y: (air: number) => number;
  /** Output at a place, kept within the picture. */
  readonly outputAt: (left: number) => number;
} {
  const [across, down] = [width - PAD.left - PAD.right, height - PAD.top - PAD.bottom];
  return {
    x: (output) => PAD.left + ((output - x.from) / (x.to - x.from)) * across,
    y: (air) => PAD.top + (1 - (air - y.from) / (y.to - y.from)) * down,
    outputAt: (left) => x.from + Math.min(1, Math.max(0, (left - PAD.left) / Math.max(1, across))) * (x.to - x.from),
  };
}

/** Draws curves with their bands and the points. @param pen scaled so that one unit is one CSS pixel */
export function drawBaseline(
  pen: CanvasRenderingContext2D,
  plot: Plotted,
  inks: Inks,
  width: number,
  height: number,
): void {
  const at = placesOf(plot, width, height);
  pen.fillStyle = inks.sheet;
  pen.fillRect(0, 0, width, height);
  pen.font = `15px ${inks.font}`;
  axes(pen, plot, inks, width, height);
  for (const { curve, inUse } of plot.curves) {
    if (!inUse && plot.curves.length > 1) continue;
    pen.fillStyle = inks.band;
    pen.beginPath();
    for (const { output, high } of curve) pen.lineTo(at.x(output), at.y(high));
    for (const { output, low } of [...curve].reverse()) pen.lineTo(at.x(output), at.y(low));
    pen.fill();
  }
  for (const { output, air, kind } of plot.points) mark(pen, at.x(output), at.y(air), kind, inks);
  plot.curves.forEach(({ curve, inUse, name }, index) => {
    pen.strokeStyle = inUse ? inks.ink : inks.soft;
    pen.lineWidth = inUse ? 2.5 : 2;
    pen.setLineDash([...DASHES[inUse ? 0 : 1 + (index % 3)]!]);
    pen.beginPath();
    for (const { output, air } of curve) pen.lineTo(at.x(output), at.y(air));
    pen.stroke();
    pen.setLineDash([]);
    const end = curve.at(-1);
    if (end === undefined || plot.curves.length < 2) return;
    pen.textAlign = 'right';
    pen.fillStyle = inUse ? inks.ink : inks.soft;
    pen.fillText(name, at.x(end.output) - 4, Math.max(14, at.y(end.air) - 8));
  });
  if (plot.read === null) return;
  pen.strokeStyle = inks.ink;
  pen.lineWidth = 1;
  pen.beginPath();
  pen.moveTo(at.x(plot.read), PAD.top);
  pen.lineTo(at.x(plot.read), height - PAD.bottom);
  pen.stroke();
}

/** A filled disc taught the curve, a ring came later, a cross was left out. */
function mark(pen: CanvasRenderingContext2D, x: number, y: number, kind: TaughtPoint['kind'], inks: Inks): void {
  pen.strokeStyle = kind === 'taught' ? inks.ink : inks.soft;
  pen.lineWidth = 1.5;
  pen.beginPath();
  if (kind === 'left-out') {
    for (const side of [-1, 1]) {
      pen.moveTo(x - 4, y - 4 * side);
      pen.lineTo(x + 4, y + 4 * side);
    }
    pen.stroke();
    return;
  }
  pen.arc(x, y, kind === 'taught' ? 4.5 : 3.5, 0, 2 * Math.PI);
  if (kind === 'taught') {
    pen.fillStyle = inks.ink;
    pen.fill();
  } else pen.stroke();
}

function axes(pen: CanvasRenderingContext2D, plot: Plotted, inks: Inks, width: number, height: number): void {
  const at = placesOf(plot, width, height);
  pen.lineWidth = 1;
  pen.strokeStyle = inks.rule;
  pen.fillStyle = inks.soft;
  pen.textAlign = 'right';
  for (const air of ticks(plot.y.from, plot.y.to, height / 60)) {
    line(pen, PAD.left, at.y(air), width - PAD.right, at.y(air));
    pen.fillText(String(air), PAD.left - 8, at.y(air) + 5);
  }
  pen.textAlign = 'center';
  for (const output of ticks(plot.x.from, plot.x.to, width / 110)) {
    line(pen, at.x(output), height - PAD.bottom, at.x(output), height - PAD.bottom + 6);
    pen.fillText(String(output), at.x(output), height - PAD.bottom + 22);
  }
  pen.fillText(plot.x.label, PAD.left + (width - PAD.left - PAD.right) / 2, height - 8);
  pen.save();
  pen.translate(15, PAD.top + (height - PAD.top - PAD.bottom) / 2);
  pen.rotate(-Math.PI / 2);
  pen.fillText(plot.y.label, 0, 0);
  pen.restore();
}

function line(pen: CanvasRenderingContext2D, x: number, y: number, toX: number, toY: number): void {
  pen.beginPath();
  pen.moveTo(x, y);
  pen.lineTo(toX, toY);
  pen.stroke();
}

/** Round numbers within a span, about so many. */
export function ticks(from: number, to: number, about: number): number[] {
  const rough = (to - from) / Math.max(3, about);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((one) => one * power >= rough) ?? 10);
  const found: number[] = [];
  for (let at = Math.ceil(from / step); at * step <= to; at++) found.push(Number((at * step).toPrecision(6)));
  return found;
}

/** Need at an output between the points of a curve; null beyond its ends. */
export function readCurve(curve: readonly NeedAt[], output: number): NeedAt | null {
  const next = curve.findIndex((one) => one.output >= output);
  if (next < 0) return null;
  const [below, above] = [curve[Math.max(0, next - 1)]!, curve[next]!];
  const span = above.output - below.output;
  const share = span === 0 ? 1 : (output - below.output) / span;
  if (share < 0) return null;
  const between = (key: 'air' | 'low' | 'high'): number => below[key] + share * (above[key] - below[key]);
  return { output, air: between('air'), low: between('low'), high: between('high') };
}

/** The picture of an answer, everything turned into the plant's units. */
export function plottedOf(
  { powders, points }: Pick<BaselineAnswer, 'powders' | 'points'>,
  shown: string | null,
  told: {
    readonly flow: (m3h: number) => { readonly value: number; readonly unit: string };
    readonly output: (gMin: number) => { readonly value: number; readonly unit: string };
    readonly name: (powder: string) => string;
  },
): Plotted {
  const turned = ({ output, air, low, high }: NeedAt): NeedAt => ({
    ...{ output: told.output(output).value, air: told.flow(air).value },
    ...{ low: told.flow(low).value, high: told.flow(high).value },
  });
  const chosen = powders.filter(({ powder }) => shown === null || powder === shown);
  const curves = chosen.map(({ powder, inUse, curve }) => ({
    ...{ name: told.name(powder), inUse: inUse || chosen.length === 1, curve: curve.map(turned) },
  }));
  const marks = points
    .filter(({ powder }) => shown === null || powder === shown)
    .map(({ air, output, kind }) => ({ air: told.flow(air).value, output: told.output(output).value, kind }));
  // What was left out may lie anywhere (a box run empty, say): it must not squeeze the rest together.
  const heard = marks.filter(({ kind }) => kind !== 'left-out');
  const outputs = [
    ...curves.flatMap(({ curve }) => curve.map(({ output }) => output)),
    ...heard.map(({ output }) => output),
  ];
  const airs = [
    ...curves.flatMap(({ curve }) => curve.flatMap(({ low, high }) => [low, high])),
    ...heard.map(({ air }) => air),
  ];
  const spanOf = (values: readonly number[]): { from: number; to: number } => {
    const [from, to] = [Math.min(...values), Math.max(...values)];
    const room = Math.max((to - from) * 0.05, to * 0.01);
    return { from: Math.max(0, from - room), to: to + room };
  };
  const [x, y] = [spanOf(outputs), spanOf(airs)];
  const within = ({ from, to }: { from: number; to: number }, one: number): boolean => one >= from && one <= to;
  return {
    curves,
    points: marks.filter(({ air, output }) => within(x, output) && within(y, air)),
    x: { ...x, label: `Powder output, ${told.output(0).unit}` },
    y: { ...y, label: `Conveying air, ${told.flow(0).unit}` },
    read: null,
  };
}
