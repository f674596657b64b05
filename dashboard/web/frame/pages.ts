import type { Role } from '../../../collector/contract/roles.ts';

/** A page of the navigation; `least` is the role that it takes to use it, where looking is not enough. */
interface PageEntry {
  readonly id: string;
  /** Null for the page that stands beside the groups. */
  readonly group: GroupId | null;
  readonly path: string;
  readonly name: string;
  readonly least?: Role;
}

/** Groups of the navigation, in its order: by whose work the pages are. */
export const GROUPS = [
  { id: 'work', name: 'Work' },
  { id: 'shop', name: 'Shop' },
  { id: 'engineer', name: 'Engineer' },
  { id: 'service', name: 'Service' },
] as const;

export type GroupId = (typeof GROUPS)[number]['id'];

/**
 * Pages that the navigation leads to, in its order. A page joins with a line here, its screen in `main.tsx` and its address in
 * `dashboard/server/pages.ts`; what lies below its path belongs to it.
 */
export const PAGES = [
  { id: 'wall', group: null, path: '/', name: 'Wall' },
  { id: 'jobs', group: 'work', path: '/jobs', name: 'Jobs' },
  { id: 'guns', group: 'work', path: '/guns', name: 'Guns' },
  { id: 'plan', group: 'work', path: '/plan', name: 'Plan' },
  { id: 'log', group: 'work', path: '/log', name: 'Log work', least: 'fitter' },
  { id: 'at-gun', group: 'work', path: '/at-gun', name: 'At the gun' },
  { id: 'labels', group: 'work', path: '/labels', name: 'Labels' },
  { id: 'stock', group: 'shop', path: '/stock', name: 'Stock' },
  { id: 'life', group: 'shop', path: '/life', name: 'Lives' },
  { id: 'cost', group: 'shop', path: '/cost', name: 'Cost of wear' },
  { id: 'reports', group: 'shop', path: '/reports', name: 'Reports' },
  { id: 'history', group: 'engineer', path: '/history', name: 'History', least: 'fitter' },
  { id: 'baseline', group: 'engineer', path: '/baseline', name: 'Baseline', least: 'fitter' },
  { id: 'findings', group: 'engineer', path: '/findings', name: 'Findings' },
  { id: 'settings', group: 'engineer', path: '/settings', name: 'Settings', least: 'fitter' },
  { id: 'import', group: 'engineer', path: '/import', name: 'Import', least: 'engineer' },
  { id: 'status', group: 'service', path: '/status', name: 'Status' },
  { id: 'account', group: 'service', path: '/account', name: 'My account' },
  { id: 'people', group: 'service', path: '/people', name: 'People', least: 'administrator' },
  { id: 'audit', group: 'service', path: '/audit', name: 'Audit trail', least: 'administrator' },
] as const satisfies readonly PageEntry[];

export type PageId = (typeof PAGES)[number]['id'];

/** The page that an address belongs to; the wall for what is no page. */
export function pageAt(pathname: string): PageId {
  const first = `/${pathname.split('/')[1] ?? ''}`;
  return PAGES.find(({ path }) => path === first)?.id ?? 'wall';
}
