import type { GunView, Job } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ask } from '../api.ts';

/** What the page of one gun shows, and when that was true on this device's clock. */
export interface GunNow {
  readonly site: Site;
  readonly view: GunView | null;
  readonly jobs: readonly Job[];
  readonly at: number;
}

const KEY = 'driftline.gun.';

/** @throws {ApiFault} */
export async function loadGun(gun: string): Promise<GunNow> {
  const [site, views, jobs] = await Promise.all([
    ask<Site>('/api/site'),
    ask<GunView[]>('/api/views'),
    ask<Job[]>('/api/jobs'),
  ]);
  const found: GunNow = {
    site,
    view: views.find(({ id }) => id === gun) ?? null,
    jobs: jobs.filter((job) => job.gun === gun),
    at: Date.now(),
  };
  localStorage.setItem(KEY + gun, JSON.stringify(found));
  return found;
}

/** What this browser knew last; null before the first time. */
export function knownGun(gun: string): GunNow | null {
  const text = localStorage.getItem(KEY + gun);
  return text === null ? null : (JSON.parse(text) as GunNow);
}

const OFFSET = 'driftline.clock-offset';

/**
 * The time to write down: the service's clock where it is known, else this device's, put right by what it was off last.
 *
 * @param serviceNow epoch ms; null without connection
 */
export function timeToWrite(serviceNow: number | null): number {
  if (serviceNow !== null) {
    localStorage.setItem(OFFSET, String(Math.round(serviceNow - Date.now())));
    return Math.round(serviceNow);
  }
  const offset = Number(localStorage.getItem(OFFSET) ?? 0);
  return Date.now() + (Number.isFinite(offset) ? offset : 0);
}
