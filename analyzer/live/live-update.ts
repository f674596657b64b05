import type { Finding, GunCondition, Plant } from '../../collector/contract/index.ts';
import { CATEGORIES } from '../../collector/contract/index.ts';
import type { GunView, Job } from '../views.ts';

/** What the live analysis knows now. */
export interface LiveUpdate {
  /** Reading time up to which it looked; null before the first reading. */
  readonly asOf: number | null;
  /** False while a backlog is being worked through: what is shown lags behind the readings. */
  readonly settled: boolean;
  readonly views: readonly GunView[];
  readonly jobs: readonly Job[];
  /** Last state of every finding that is open or was cleared within some weeks, in the contract's order; older ones are in the store. */
  readonly findings: readonly Finding[];
}

/**
 * Gun conditions as they are now, for `GET /api/guns` and the retained messages.
 *
 * @param newest reading time of a gun's newest reading, epoch ms; null when there is none
 * @param now wall clock, epoch ms
 */
export function gunConditions(
  plant: Plant,
  update: Pick<LiveUpdate, 'views' | 'findings'>,
  newest: (gun: string) => number | null,
  now: number,
): GunCondition[] {
  return plant.guns.map(({ id, name }) => {
    const findings = update.findings.filter((finding) => finding.gun === id && finding.cleared === null);
    const worst = CATEGORIES.find((category) => findings.some((finding) => finding.category === category));
    const view = update.views.find((one) => one.id === id);
    const time = newest(id);
    const state = worst ?? (view === undefined || view.state === 'learning' || view.learning ? 'learning' : 'good');
    return {
      id,
      name: name ?? id,
      state,
      ageSeconds: time === null ? null : Math.max(0, (now - time) / 1000),
      asOf: time === null ? null : new Date(time).toISOString(),
      findings,
    };
  });
}
