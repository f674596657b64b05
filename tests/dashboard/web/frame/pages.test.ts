import { expect, test } from 'vitest';
import { SCREENS } from '../../../../dashboard/server/pages.ts';
import { GROUPS, PAGES, pageAt } from '../../../../dashboard/web/frame/pages.ts';

test.each(PAGES)('the service answers $path with a screen, and the screen knows that it is $id', ({ id, path }) => {
  expect(SCREENS).toContain(path);
  expect(pageAt(path)).toBe(id);
});

test('what lies below a page belongs to it, and what is no page is the wall', () => {
  expect(pageAt('/jobs/gun-01/pump-insert/2026-03-09T13:25:00Z')).toBe('jobs');
  expect(pageAt('/nowhere')).toBe('wall');
});

test('pages of a group stand together, in the order of the groups, the wall before all', () => {
  const order = PAGES.map(({ group }) => group);
  expect(order.filter((group, at) => group !== order[at - 1])).toEqual([null, ...GROUPS.map(({ id }) => id)]);
  expect(PAGES.filter(({ group }) => group === null).map(({ id }) => id)).toEqual(['wall']);
});
