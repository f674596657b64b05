import { RequestFault } from '../problem.ts';

const DAY_MS = 86_400_000;

/**
 * Refuses a query whose `from` and `to` are further apart than allowed; without `to` it reaches until `now`. Queries without
 * these, or with other texts in them, are none of its business.
 *
 * @throws {RequestFault} QUERY_INVALID
 */
export function refuseLongSpan(query: unknown, mostDays: number, now: number): void {
  if (typeof query !== 'object' || query === null || !('from' in query) || typeof query.from !== 'string') return;
  const from = Date.parse(query.from);
  const to = 'to' in query && typeof query.to === 'string' ? Date.parse(query.to) : now;
  if (!(to - from > mostDays * DAY_MS)) return;
  const detail = `${Math.ceil((to - from) / DAY_MS)} days before the end of the span; at most ${mostDays} may be asked for at once`;
  throw new RequestFault('QUERY_INVALID', `from: ${detail}`, [{ parameter: 'from', detail }]);
}
