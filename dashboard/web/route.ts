import { type PageId, pageAt } from './frame/pages.ts';

/** Which page an address shows, and what of it. A page that only has a path needs nothing here. */
export type Route =
  | { readonly page: Exclude<PageId, 'guns' | 'jobs' | 'log' | 'at-gun' | 'reports'> }
  | { readonly page: 'jobs'; readonly job: JobKey | null }
  | { readonly page: 'guns'; readonly gun: string | null }
  | { readonly page: 'log'; readonly preset: LogPreset }
  | { readonly page: 'at-gun'; readonly gun: string | null }
  | { readonly page: 'reports'; readonly tab: 'shift' | 'week' | 'journal' };

/** What is already known of the work that is to be logged. */
export interface LogPreset {
  readonly gun: string | null;
  readonly part: string | null;
  readonly action: string | null;
}

/** What a job is known by: its finding. */
export interface JobKey {
  /** Null where the finding is common to several guns. */
  readonly gun: string | null;
  readonly cause: string;
  readonly raised: string;
}

/** The page at this path, e.g. "/jobs/gun-01/pump-insert/2026-03-09T13:25:00Z"; the wall for anything else. */
export function routeOf(pathname: string, search: string): Route {
  const page = pageAt(pathname);
  const [, ...below] = pathname.split('/').filter(Boolean).map(decodeURIComponent);
  const asked = new URLSearchParams(search);
  if (page === 'log')
    return { page, preset: { gun: asked.get('gun'), part: asked.get('part'), action: asked.get('action') } };
  if (page === 'at-gun') return { page, gun: below[0] ?? null };
  if (page === 'reports') return { page, tab: below[0] === 'week' || below[0] === 'journal' ? below[0] : 'shift' };
  if (page === 'jobs') return { page, job: jobKey(below) };
  if (page === 'guns') return { page, gun: below[0] ?? null };
  return { page };
}

function jobKey([gun, cause, raised]: readonly string[]): JobKey | null {
  if (gun === undefined || cause === undefined || raised === undefined) return null;
  return { gun: gun === NO_GUN ? null : gun, cause, raised };
}

const NO_GUN = '_';

/** Address of a job's own page. */
export function jobPath({ gun, cause, raised }: JobKey): string {
  return `/jobs/${[gun ?? NO_GUN, cause, raised].map(encodeURIComponent).join('/')}`;
}

/** Address of the form that logs work, with what is already known filled in. */
export function logPath({ gun, part, action }: Partial<LogPreset>): string {
  const asked = new URLSearchParams();
  if (gun) asked.set('gun', gun);
  if (part) asked.set('part', part);
  if (action) asked.set('action', action);
  const search = asked.toString();
  return search === '' ? '/log' : `/log?${search}`;
}
