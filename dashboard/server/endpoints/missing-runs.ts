import { z } from 'zod';
import { endpoint, ok } from '../endpoint.ts';

const Answer = z.array(
  z
    .strictObject({ gun: z.string(), name: z.string(), from: z.iso.datetime(), to: z.iso.datetime() })
    .meta({ id: 'MissingRuns' }),
);
export type MissingRuns = z.infer<typeof Answer>;

const iso = (ms: number): string => new Date(ms).toISOString();

export const missingRuns = endpoint({
  method: 'get',
  path: '/api/missing-runs',
  role: 'wall',
  summary:
    'Spray runs that are damaged on the disk: spray hours, lives, what is due and costs are reckoned without them',
  success: { 200: 'From the first to the last start of the runs; none as a rule' },
  answer: Answer,
  problems: [],
  handle({ sources }) {
    const damaged = sources.status?.status().damaged ?? [];
    return ok(
      damaged.flatMap(({ kind, id, station, from, to }) =>
        kind === 'spray runs' && id !== null ? [{ gun: id, name: station ?? id, from: iso(from), to: iso(to) }] : [],
      ),
    );
  },
});
