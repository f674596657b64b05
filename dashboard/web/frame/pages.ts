import type { Role } from '../../../collector/contract/roles.ts';

/** A page of the navigation; `least` is the role that it takes to use it, where looking is not enough. */
interface PageEntry {
  readonly id: string;
  readonly path: string;
  readonly name: string;
  readonly least?: Role;
}

/**
 * Pages that the navigation leads to, in its order. A page joins with a line here, its screen in `main.tsx` and its address in
 * `dashboard/server/pages.ts`; what lies below its path belongs to it.
 */
export const PAGES = [
  { id: 'wall', path: '/', name: 'Wall' },
  { id: 'jobs', path: '/jobs', name: 'Jobs' },
  { id: 'guns', path: '/guns', name: 'Guns' },
  { id: 'plan', path: '/plan', name: 'Plan' },
  { id: 'log', path: '/log', name: 'Log work', least: 'fitter' },
  { id: 'at-gun', path: '/at-gun', name: 'At the gun' },
  { id: 'stock', path: '/stock', name: 'Stock' },
  { id: 'life', path: '/life', name: 'Lives' },
  { id: 'cost', path: '/cost', name: 'Cost of wear' },
  { id: 'reports', path: '/reports', name: 'Reports' },
  { id: 'labels', path: '/labels', name: 'Labels' },
  { id: 'history', path: '/history', name: 'History', least: 'fitter' },
  { id: 'findings', path: '/findings', name: 'Findings' },
  { id: 'settings', path: '/settings', name: 'Settings', least: 'fitter' },
  { id: 'status', path: '/status', name: 'Status' },
  { id: 'account', path: '/account', name: 'My account' },
  { id: 'people', path: '/people', name: 'People', least: 'administrator' },
  { id: 'audit', path: '/audit', name: 'Audit trail', least: 'administrator' },
] as const satisfies readonly PageEntry[];

export type PageId = (typeof PAGES)[number]['id'];

/** The page that an address belongs to; the wall for what is no page. */
export function pageAt(pathname: string): PageId {
  const first = `/${pathname.split('/')[1] ?? ''}`;
  return PAGES.find(({ path }) => path === first)?.id ?? 'wall';
}
