/**
 * Pages that the navigation leads to, in its order. A page joins with a line here, its screen in `main.tsx` and its address in
 * `dashboard/server/pages.ts`; what lies below its path belongs to it.
 */
export const PAGES = [
  { id: 'wall', path: '/', name: 'Wall' },
  { id: 'jobs', path: '/jobs', name: 'Jobs' },
  { id: 'log', path: '/log', name: 'Log work' },
  { id: 'status', path: '/status', name: 'Status' },
] as const;

export type PageId = (typeof PAGES)[number]['id'];

/** The page that an address belongs to; the wall for what is no page. */
export function pageAt(pathname: string): PageId {
  const first = `/${pathname.split('/')[1] ?? ''}`;
  return PAGES.find(({ path }) => path === first)?.id ?? 'wall';
}
