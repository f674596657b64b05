import { type CaseScore, calibrationBins } from '../analyzer/index.ts';
import { escapeText, type Frame, figure, px } from './svg.ts';

const percent = (value: number): string => `${Math.round(100 * value)} %`;
const TENTHS = Array.from({ length: 11 }, (_, tenth) => tenth / 10);

/** Where on the way to the wear limit inserts were first flagged. */
export function flagFigure(scores: readonly CaseScore[]): string {
  const lives = scores.flatMap((score) => score.lives);
  const flagged = lives.flatMap(({ flaggedAt }) => (flaggedAt === null ? [] : [flaggedAt]));
  const edges = [...TENTHS, 1.1, 1.2];
  const counts = edges.slice(0, -1).map((low, index) => {
    const last = index === edges.length - 2;
    return flagged.filter((share) => share >= low && (last || share < edges[index + 1]!)).length;
  });
  const most = Math.max(5, ...counts);
  const axes = {
    title: `Share of the wear limit at which ${flagged.length} of ${lives.length} inserts were first flagged (wanted: the shaded band)`,
    xLabel: 'loss as a share of the wear limit',
    yLabel: 'inserts',
    xTicks: [0, 0.2, 0.4, 0.6, 0.8, 1, 1.2],
    yTicks: niceTicks(most),
  };
  return figure(axes, (frame) => {
    const band = box(frame, 0.35, 0.9, 0, axes.yTicks.at(-1)!, 'band');
    return (
      band +
      counts
        .map((count, index) => box(frame, edges[index]! + 0.006, edges[index + 1]! - 0.006, 0, count, 'bar'))
        .join('')
    );
  });
}

/** Stated probabilities against shares right. */
export function calibrationFigure(scores: readonly CaseScore[]): string {
  const bins = calibrationBins(scores.flatMap(({ findings }) => findings)).filter(({ count }) => count > 0);
  const ticks = [0, 0.2, 0.4, 0.6, 0.8, 1];
  const axes = {
    title: 'How often the leading cause was right, against how sure it was said to be (dots: tenths, area by count)',
    xLabel: 'stated probability',
    yLabel: 'share right',
    xTicks: ticks,
    yTicks: ticks,
    text: percent,
  };
  return figure(axes, ({ x, y }) => {
    const ideal = `<line class="ideal" x1="${px(x(0))}" y1="${px(y(0))}" x2="${px(x(1))}" y2="${px(y(1))}"/>`;
    const most = Math.max(...bins.map(({ count }) => count));
    const dots = bins.map(({ count, right, stated }) => {
      const radius = 3 + 11 * Math.sqrt(count / most);
      return `<circle class="dot" cx="${px(x(stated))}" cy="${px(y(right / count))}" r="${px(radius)}"><title>${right} of ${count} right, said ${percent(stated)}</title></circle>`;
    });
    return ideal + dots.join('');
  });
}

/** Spray hours from the onset of a seal step to its finding. */
export function delayFigure(scores: readonly CaseScore[]): string {
  const delays = scores
    .flatMap(({ faults }) => faults)
    .filter(({ cause, shape }) => shape === 'step' && (cause === 'pump-seals' || cause === 'gun-seals'))
    .flatMap(({ delay }) => (delay === null ? [] : [delay]))
    .sort((a, b) => a - b);
  const axes = {
    title: `Spray hours until a seal step was found (${delays.length} found)`,
    xLabel: 'spray hours since onset',
    yLabel: 'share found by then',
    xTicks: [0, 2, 4, 6, 8, 10],
    yTicks: [0, 0.2, 0.4, 0.6, 0.8, 1],
  };
  return figure(axes, ({ x, y }) => {
    const steps = delays.map((delay, index) => {
      const at = px(x(Math.min(10, delay)));
      return `L${at} ${px(y(index / delays.length))}L${at} ${px(y((index + 1) / delays.length))}`;
    });
    return `<path class="line" d="M${px(x(0))} ${px(y(0))}${steps.join('')}L${px(x(10))} ${px(y(delays.length > 0 ? 1 : 0))}"/>`;
  });
}

/** False findings a thousand spray hours, by scenario. */
export function falseFigure(scores: readonly CaseScore[]): string {
  const names = [...new Set(scores.map(({ scenario }) => scenario))];
  const rates = names.map((name) => {
    const some = scores.filter(({ scenario }) => scenario === name);
    const count = some.flatMap(({ findings }) => findings).filter(({ isFalse }) => isFalse).length;
    return (1000 * count) / some.reduce((sum, { sprayHours }) => sum + sprayHours, 0);
  });
  const most = Math.max(1, ...rates);
  const rows = names.map((name, index) => {
    const y = 12 + index * 22;
    const width = (280 * rates[index]!) / most;
    return (
      `<text x="150" y="${y + 12}" text-anchor="end">${escapeText(name)}</text>` +
      `<rect class="bar" x="156" y="${y}" width="${px(width)}" height="15"/>` +
      `<text x="${px(162 + width)}" y="${y + 12}">${rates[index]!.toFixed(1)}</text>`
    );
  });
  const title = 'False findings of any kind in 1000 spray hours, by scenario';
  return `<figure><svg viewBox="0 0 480 ${24 + names.length * 22}" role="img" aria-label="${title}">${rows.join('')}</svg><figcaption>${title}</figcaption></figure>`;
}

function box({ x, y }: Frame, left: number, right: number, bottom: number, top: number, kind: string): string {
  const height = Math.max(0, y(bottom) - y(top));
  return `<rect class="${kind}" x="${px(x(left))}" y="${px(y(top))}" width="${px(x(right) - x(left))}" height="${px(height)}"/>`;
}

function niceTicks(most: number): number[] {
  const step = Math.max(1, Math.ceil(most / 5));
  return Array.from({ length: 6 }, (_, index) => index * step);
}
