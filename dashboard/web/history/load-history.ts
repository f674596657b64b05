import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { askEarly, askOnce } from '../link/ask-early.ts';
import { lookOf, type Span, statedSpan } from './look.ts';

/** Source: own choice, a chart of a thousand pixels tells no more; twelve series of these stay below 4000 points. */
export const POINTS = 330;

/**
 * The past of a gun.
 *
 * @param points most points of one series
 * @throws {ApiFault} with the sentence to show
 */
export function loadHistory(gun: string, span: Partial<Span>, points: number): Promise<HistoryAnswer> {
  return askOnce<HistoryAnswer>(historyPath(gun, span, points));
}

/** Address of a gun's past, or of a file of it. */
export function historyPath(gun: string, { from, to }: Partial<Span>, points: number | null, file = 'history'): string {
  const asked = new URLSearchParams();
  if (from !== undefined) asked.set('from', new Date(from).toISOString());
  if (to !== undefined) asked.set('to', new Date(to).toISOString());
  if (points !== null) asked.set('points', String(points));
  return `/api/guns/${encodeURIComponent(gun)}/${file}?${asked.toString()}`;
}

/** Asks for what the page of this address shows first, while its script is still on its way. */
export function askHistoryEarly(search: string): void {
  const look = lookOf(search);
  if (look.gun === null) return;
  askEarly('/api/site');
  askEarly(historyPath(look.gun, statedSpan(look), POINTS));
}
