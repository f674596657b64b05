import type { LiveUpdate } from '../../analyzer/index.ts';
import { type Finding, judgementKey } from '../../collector/contract/index.ts';
import { type Findings, runsFrom, type States } from '../../collector/index.ts';

/** The analysis lets go of what was cleared so long ago, ms of reading time; see `analyzer/live/site-runner.ts`. */
const SETTLED_MS = 30 * 24 * 3_600_000;

const keyOf = ({ gun, cause, raised }: Finding): string => judgementKey(gun, cause, Date.parse(raised));

/**
 * Hands out all findings of a site: those that the analysis shows, and those that it has let go of, which the store has; so it
 * has those that were raised before the runs that are left, where the analysis cannot begin any more.
 *
 * @returns the same list as long as the same is shown
 */
export function everyFinding(store: {
  readonly findings: Pick<Findings, 'list'>;
  readonly states: Pick<States, 'get'>;
}): (update: Pick<LiveUpdate, 'findings' | 'asOf'>) => readonly Finding[] {
  let known: { readonly shown: readonly Finding[]; readonly all: readonly Finding[] } | null = null;
  return ({ findings: shown, asOf }) => {
    if (known?.shown === shown) return known.all;
    const keys = new Set(shown.map(keyOf));
    const from = runsFrom(store.states);
    const older = store.findings
      .list()
      .map(({ finding }) => finding)
      .filter(
        (one) =>
          one.cleared !== null &&
          (Date.parse(one.cleared) < (asOf ?? 0) - SETTLED_MS || Date.parse(one.raised) < from) &&
          !keys.has(keyOf(one)),
      );
    known = { shown, all: older.length === 0 ? shown : [...older.reverse(), ...shown] };
    return known.all;
  };
}
