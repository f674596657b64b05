/** What the history page looks at; all of it stands in its address, so that a look can be sent to somebody. */
export interface Look {
  readonly gun: string | null;
  /** A second gun to compare with. */
  readonly other: string | null;
  /** Epoch ms; null: all there is. */
  readonly from: number | null;
  readonly to: number | null;
}

/** A span of time, epoch ms. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

const HOUR_MS = 3_600_000;
/** Source: own choice, one trigger pull of some seconds fills the picture. */
const SHORTEST_MS = 10_000;

export const SPANS: readonly { readonly name: string; readonly ms: number | null }[] = [
  { name: 'All', ms: null },
  { name: 'Quarter', ms: 91 * 24 * HOUR_MS },
  { name: 'Month', ms: 30 * 24 * HOUR_MS },
  { name: 'Week', ms: 7 * 24 * HOUR_MS },
  { name: 'Day', ms: 24 * HOUR_MS },
  { name: 'Hour', ms: HOUR_MS },
  { name: '5 min', ms: HOUR_MS / 12 },
];

export function lookOf(search: string): Look {
  const asked = new URLSearchParams(search);
  const time = (name: string): number | null => {
    const ms = Date.parse(asked.get(name) ?? '');
    return Number.isNaN(ms) ? null : ms;
  };
  return { gun: asked.get('gun'), other: asked.get('other'), from: time('from'), to: time('to') };
}

export function searchOf({ gun, other, from, to }: Look): string {
  const asked = new URLSearchParams();
  if (gun !== null) asked.set('gun', gun);
  if (other !== null) asked.set('other', other);
  if (from !== null) asked.set('from', new Date(from).toISOString());
  if (to !== null) asked.set('to', new Date(to).toISOString());
  return `?${asked.toString()}`;
}

/** Nearer (factor below 1) or farther, around a point of the span: 0 its begin, 1 its end. */
export function zoomed({ from, to }: Span, factor: number, around = 0.5): Span {
  const width = Math.max(SHORTEST_MS, (to - from) * factor);
  const centre = from + (to - from) * around;
  return { from: Math.round(centre - width * around), to: Math.round(centre + width * (1 - around)) };
}

/** Moved along by a share of its own width. */
export function moved({ from, to }: Span, share: number): Span {
  const by = Math.round((to - from) * share);
  return { from: from + by, to: to + by };
}
