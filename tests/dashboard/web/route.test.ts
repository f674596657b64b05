import { expect, test } from 'vitest';
import { jobPath, logPath, routeOf } from '../../../dashboard/web/route.ts';

test('the wall is at the root', () => {
  expect(routeOf('/', '')).toEqual({ page: 'wall' });
});

test.each([
  { gun: 'gun-01', cause: 'pump-insert', raised: '2026-03-09T13:25:00Z' },
  { gun: 'gun-01', cause: 'sensor:conveying/flow', raised: '2026-03-09T13:25:00.500Z' },
  { gun: null, cause: 'supply-air', raised: '2026-03-09T13:25:00Z' },
])('a job’s address leads back to the job: %o', (job) => {
  expect(routeOf(jobPath(job), '')).toEqual({ page: 'jobs', job });
});

test('the log form is opened with what is known', () => {
  expect(logPath({ gun: 'gun-01', part: 'sensor:conveying/flow', action: 'replaced' })).toBe(
    '/log?gun=gun-01&part=sensor%3Aconveying%2Fflow&action=replaced',
  );
  expect(logPath({})).toBe('/log');
  expect(routeOf('/log', '?gun=gun-01')).toEqual({
    page: 'log',
    preset: { gun: 'gun-01', part: null, action: null },
  });
});
