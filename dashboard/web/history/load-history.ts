import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { ask } from '../api.ts';
import type { Span } from './look.ts';

/**
 * The past of a gun.
 *
 * @param points most points of one series
 * @throws {ApiFault} with the sentence to show
 */
export function loadHistory(gun: string, span: Partial<Span>, points: number): Promise<HistoryAnswer> {
  return ask<HistoryAnswer>(historyPath(gun, span, points));
}

/** Address of a gun's past, or of a file of it. */
export function historyPath(gun: string, { from, to }: Partial<Span>, points: number | null, file = 'history'): string {
  const asked = new URLSearchParams();
  if (from !== undefined) asked.set('from', new Date(from).toISOString());
  if (to !== undefined) asked.set('to', new Date(to).toISOString());
  if (points !== null) asked.set('points', String(points));
  return `/api/guns/${encodeURIComponent(gun)}/${file}?${asked.toString()}`;
}
