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

/** Source: own choice, a chart of a thousand pixels tells no more; twelve series of these stay below 4000 points. */
export const POINTS = 330;

/** @param search of the page's address, with or without its question mark */
export function lookOf(search: string): Look {
  const asked = new URLSearchParams(search);
  const time = (name: string): number | null => {
    const ms = Date.parse(asked.get(name) ?? '');
    return Number.isNaN(ms) ? null : ms;
  };
  return { gun: asked.get('gun'), other: asked.get('other'), from: time('from'), to: time('to') };
}

/** The ends of its span that a look states. */
export function statedSpan({ from, to }: Pick<Look, 'from' | 'to'>): Partial<Span> {
  return { ...(from === null ? {} : { from }), ...(to === null ? {} : { to }) };
}

/** Address of a gun's past, or of a file of it. */
export function historyPath(gun: string, span: Partial<Span>, points: number | null, file = 'history'): string {
  return `/api/guns/${encodeURIComponent(gun)}/${file}?${new URLSearchParams(queryOf(span, points)).toString()}`;
}

function queryOf({ from, to }: Partial<Span>, points: number | null): Record<string, string> {
  return {
    ...(from === undefined ? {} : { from: new Date(from).toISOString() }),
    ...(to === undefined ? {} : { to: new Date(to).toISOString() }),
    ...(points === null ? {} : { points: String(points) }),
  };
}

/**
 * What the page of an address asks the service for before it shows anything; nothing where the address names no gun. Page and service both
 * reckon it, so that the answers are on their way before the page's script is.
 */
export function askedFirst(search: string): string[] {
  const look = lookOf(search);
  return look.gun === null ? [] : ['/api/site', historyPath(look.gun, statedSpan(look), POINTS)];
}

/** The past that such a page asks for, as the service takes it apart; null where its address names no gun. */
export function historyAskedBy(
  search: string,
): { readonly gun: string; readonly query: Record<string, string> } | null {
  const look = lookOf(search);
  return look.gun === null ? null : { gun: look.gun, query: queryOf(statedSpan(look), POINTS) };
}
