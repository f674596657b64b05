import type { SitePipeline } from '../../../analyzer/index.ts';
import { RunCursor } from '../../../analyzer/pipeline-cursor.ts';
import { noticedAt } from '../../../analyzer/runs/track.ts';
import type { Finding, RunTable } from '../../../collector/contract/index.ts';

const TICK_MS = 5 * 60_000;

export interface Tally {
  time: number;
  guns: Record<
    string,
    { runs: number; digest: number; last: number; facts: string[]; log: string[]; settings: number }
  >;
}

/**
 * A pipeline that judges nothing: the findings of each gun are a digest of all that it was given, tick by tick,
 * so that any difference in what it is given, or when, shows.
 */
export const tallyPipeline: SitePipeline<Tally> = {
  stateVersion: 1,
  init: ({ plant }) => ({
    time: 0,
    guns: Object.fromEntries(
      [...plant.guns, ...plant.air].map(({ id }) => [
        id,
        { runs: 0, digest: 0, last: 0, facts: [], log: [], settings: 0 },
      ]),
    ),
  }),
  advance: (context, state, tracks, log, upTo) => {
    const end = Math.floor(upTo / TICK_MS) * TICK_MS;
    const from = state.time;
    if (!(end > from)) return [];
    for (const [id, gun] of Object.entries(state.guns)) {
      for (const entry of log)
        if (entry.gun === id && entry.time > from && entry.time <= end) gun.log.push(`${entry.part} ${entry.time}`);
      const track = tracks.get(id);
      if (track === undefined) continue;
      const cursor = new RunCursor(id, track, from, end);
      for (const { columns, row } of rowsOf(cursor, end)) {
        const time = columns.end[row]!;
        gun.runs++;
        gun.last = time;
        const settings = context.settings.filter(({ adopted }) => adopted <= time).at(-1)!.version;
        gun.settings += settings;
        for (const field of ['start', 'sprayMs', 'conveyingFlow', 'output', 'idleSamples'] as const) {
          const value = columns[field][row]!;
          // The order of runs matters: a digest, not a sum.
          gun.digest = (gun.digest * 31 + (Number.isNaN(value) ? 7 : Math.round(value * 1000))) % 1_000_003;
        }
      }
      for (const fact of track.facts) {
        const noticed = noticedAt(fact);
        if (noticed > from && noticed <= end) gun.facts.push(`${fact.kind} ${fact.time}`);
        const until = 'until' in fact ? fact.until : null;
        if (until !== null && until > from && until <= end) gun.facts.push(`end of ${fact.kind} ${until}`);
      }
    }
    state.time = end;
    return [];
  },
  findings: (_context, state) =>
    Object.entries(state.guns).map(
      ([id, gun]): Finding => ({
        gun: id,
        cause: 'tally',
        category: 'function-check',
        onset: new Date(0).toISOString(),
        raised: new Date(0).toISOString(),
        asOf: new Date(state.time).toISOString(),
        cleared: null,
        candidates: [],
        excessAir: null,
        remaining: null,
        evidence: [JSON.stringify(gun)],
      }),
    ),
  settle: () => [],
  settledBefore: () => 0,
  views: () => [],
  jobs: () => [],
};

/** Rows that end by a time, wherever they are read from. */
function* rowsOf(cursor: RunCursor, end: number): Generator<{ columns: RunTable['columns']; row: number }> {
  for (let span = cursor.take(end); span !== null; span = cursor.take(end))
    for (let row = span.from; row < span.to; row++) yield { columns: span.table.columns, row };
}
