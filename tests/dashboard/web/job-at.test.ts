import { expect, test } from 'vitest';
import type { LoopJob } from '../../../analyzer/index.ts';
import { jobAt } from '../../../dashboard/web/jobs/job-at.ts';

const FIRST = '2026-03-02T09:10:00.000Z';
const NOW = '2026-03-04T10:00:00.000Z';
/** Raised against the gun's seals, put down to the pump's since, of which a check says that it is the hose. */
const MOVED = {
  id: 'gun-01~gun-seals~20260302T091000000Z',
  cause: 'powder-hose',
  raised: Date.parse(FIRST),
  finding: { gun: 'gun-01', cause: 'pump-seals', raised: NOW },
} as LoopJob;
const OTHER = {
  id: 'gun-01~pump-insert~20260302T091000000Z',
  cause: 'pump-insert',
  raised: Date.parse(FIRST),
  finding: { gun: 'gun-01', cause: 'pump-insert', raised: FIRST },
} as LoopJob;
const jobs = [OTHER, MOVED];

test.each([
  ['as it is known now', 'pump-seals', NOW],
  ['its likeliest cause', 'powder-hose', NOW],
  ['its likeliest cause, since the trouble began', 'powder-hose', FIRST],
  ['its first finding', 'gun-seals', FIRST],
])('an address finds its job by %s', (_, cause, raised) => {
  expect(jobAt(jobs, { gun: 'gun-01', cause, raised })).toBe(MOVED);
});

test('an address of another gun, cause or time finds none', () => {
  expect(jobAt(jobs, { gun: 'gun-02', cause: 'pump-seals', raised: NOW })).toBeUndefined();
  expect(jobAt(jobs, { gun: 'gun-01', cause: 'nozzle', raised: NOW })).toBeUndefined();
  expect(jobAt(jobs, { gun: 'gun-01', cause: 'pump-insert', raised: NOW })).toBeUndefined();
});
