import { expect, test } from 'vitest';
import { filterFault, matchesFilter } from '../../../../collector/decode/mapped/topic-filter.ts';

// MQTT 3.1.1 section 4.7, its own examples.
test.each([
  ['sport/tennis/player1/#', 'sport/tennis/player1', true],
  ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
  ['sport/#', 'sport', true],
  ['#', 'a/b', true],
  ['sport/tennis/+', 'sport/tennis/player1', true],
  ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
  ['sport/+', 'sport', false],
  ['sport/+', 'sport/', true],
  ['+/+', '/finance', true],
  ['/+', '/finance', true],
  ['+', '/finance', false],
  ['#', '$SYS/a', false],
  ['+/monitor/Clients', '$SYS/monitor/Clients', false],
])('%s and %s: %s', (filter, topic, matches) => {
  expect(matchesFilter(filter, topic)).toBe(matches);
});

test.each(['', 'a/#/b', 'a+', 'a/b#', '$SYS/#', 'a\u0000'])('%j is no filter', (filter) => {
  expect(filterFault(filter)).not.toBeNull();
});
test.each(['#', '+', 'a/+/#', '/a', 'a//b'])('%j is a filter', (filter) => {
  expect(filterFault(filter)).toBeNull();
});
