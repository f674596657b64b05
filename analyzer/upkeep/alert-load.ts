import type { LoopJob } from './loop-job.ts';

const WEEK_MS = 7 * 86_400_000;
/** An alert that stands so long without anybody having seen to it is stale, ms. Source: own choice: two weeks hold every chance to plan it. */
const STALE_MS = 14 * 86_400_000;
/** An alert of the same gun and cause so often in a week chatters. Source: own choice: our alerts live for days, not minutes. */
const CHATTERS = 3;

/** How much the alerts ask of people, as ISA-18.2 has an alarm system's performance watched. */
export interface AlertLoad {
  /** Weeks of seven days up to now, newest first. */
  readonly weeks: readonly {
    readonly from: number;
    readonly to: number;
    readonly raised: number;
    readonly perGun: Readonly<Record<string, number>>;
  }[];
  readonly standing: number;
  readonly unacknowledged: number;
  readonly shelved: number;
  readonly suppressed: number;
  /** Jobs that stand for two weeks and more and were not planned. */
  readonly stale: readonly string[];
  /** Gun and cause that were raised three times and more within the last week. */
  readonly chattering: readonly { readonly gun: string | null; readonly cause: string; readonly times: number }[];
  /** Alerts for a gun and week, over all guns and the weeks asked for. */
  readonly perGunWeek: number;
}

/**
 * Alerts by gun and week. Only findings count: the plan's work asks nobody to jump.
 *
 * @param guns how many guns the plant has
 */
export function alertLoad(jobs: readonly LoopJob[], guns: number, weeks: number, now: number): AlertLoad {
  const alerts = jobs.filter(({ source }) => source === 'finding');
  const standing = alerts.filter(({ state }) => state !== 'proven' && state !== 'gone');
  const byWeek = Array.from({ length: weeks }, (_, back) => {
    const to = now - back * WEEK_MS;
    const from = to - WEEK_MS;
    const raised = alerts.filter((job) => job.raised > from && job.raised <= to);
    const perGun: Record<string, number> = {};
    for (const { gun } of raised) perGun[gun ?? ''] = (perGun[gun ?? ''] ?? 0) + 1;
    return { from, to, raised: raised.length, perGun };
  });
  const lately = new Map<string, { gun: string | null; cause: string; times: number }>();
  for (const { gun, finding, raised } of alerts) {
    if (raised <= now - WEEK_MS) continue;
    const key = JSON.stringify([gun, finding.cause]);
    lately.set(key, { gun, cause: finding.cause, times: (lately.get(key)?.times ?? 0) + 1 });
  }
  const total = byWeek.reduce((sum, { raised }) => sum + raised, 0);
  const having = (state: LoopJob['alert']): number => standing.filter(({ alert }) => alert === state).length;
  return {
    weeks: byWeek,
    standing: standing.length,
    unacknowledged: having('unacknowledged'),
    shelved: having('shelved'),
    suppressed: having('suppressed-by-design'),
    stale: standing
      .filter(({ state, raised, alert }) => state === 'open' && alert !== 'shelved' && now - raised >= STALE_MS)
      .map(({ id }) => id),
    chattering: [...lately.values()].filter(({ times }) => times >= CHATTERS),
    perGunWeek: weeks === 0 || guns === 0 ? 0 : total / weeks / guns,
  };
}
