import { expect, test } from 'vitest';
import { SCREENS } from '../../../../dashboard/server/pages.ts';
import { PAGES, pageAt } from '../../../../dashboard/web/frame/pages.ts';

test.each(PAGES)('the service answers $path with a screen, and the screen knows that it is $id', ({ id, path }) => {
  expect(SCREENS).toContain(path);
  expect(pageAt(path)).toBe(id);
});

test('what lies below a page belongs to it, and what is no page is the wall', () => {
  expect(pageAt('/jobs/gun-01/pump-insert/2026-03-09T13:25:00Z')).toBe('jobs');
  expect(pageAt('/nowhere')).toBe('wall');
});
