import { expect, test } from 'vitest';
import { OperationConfig } from '../../collector/config.ts';
import { mappingsOfOwnTopics } from '../../collector/own-topics.ts';

const channels = [{ channel: 'conveying/pressure', path: '$.p', unit: 'kPa' }];
const told = (topic: string, root = 'airlines') =>
  mappingsOfOwnTopics(
    OperationConfig.parse({ broker: { root }, mappings: [{ topic, station: 'gun-01', channels }] }),
  ).map((sentence) => (/takes nothing/.test(sentence) ? 'nothing' : 'not all'));

test.each([
  ['airlines/hall-2/gun-01', ['nothing']],
  ['airlines/+/gun-01', ['nothing']],
  ['airlines/hall-2/gun-01/online', ['nothing']],
  ['airlines/+/+/condition', ['nothing']],
  ['airlines/#', ['not all']],
  ['airlines/hall-2/gun-01/#', ['not all']],
  ['+/+/+', ['not all']],
  ['#', ['not all']],
  ['airlines/hall-2/gun-01/raw', []],
  ['airlines/gateway', []],
  ['gateway/+/ports/#', []],
])('a mapping of %s tells what it does not take', (topic, expected) => {
  expect(told(topic)).toEqual(expected);
});

test('a root of several levels is looked for as a whole', () => {
  expect(told('plant/air/hall-2/gun-01', 'plant/air')).toEqual(['nothing']);
  expect(told('plant/air/hall-2', 'plant/air')).toEqual([]);
});
