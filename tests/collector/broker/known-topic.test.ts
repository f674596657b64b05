import { expect, test } from 'vitest';
import { knownTopics } from '../../../collector/broker/known-topic.ts';
import { parseTopic } from '../../../collector/broker/topics.ts';
import { OperationConfig } from '../../../collector/config.ts';

const limits = OperationConfig.parse({}).broker;

function lookup() {
  const parsed: string[] = [];
  const known = knownTopics(limits, (name) => {
    parsed.push(name);
    return parseTopic('airlines', name, () => false);
  });
  const find = (name: string) => {
    const bytes = Buffer.concat([Buffer.from([0, Buffer.byteLength(name)]), Buffer.from(name), Buffer.from('rest')]);
    return known(bytes, 2, bytes.length - 4);
  };
  return { find, parsed };
}

test('a topic is taken apart once, however often it comes', () => {
  const { find, parsed } = lookup();
  const first = find('airlines/hall-1/gun-07');
  for (let time = 0; time < 5; time++) expect(find('airlines/hall-1/gun-07')).toBe(first);
  expect(first?.topic).toMatchObject({ kind: 'readings', site: 'hall-1', station: 'gun-07' });
  expect(parsed).toEqual(['airlines/hall-1/gun-07']);
});

test('topics with the same end and length are told apart', () => {
  const { find, parsed } = lookup();
  const names = ['airlines/hall-1/gun-07/online', 'airlines/hall-1/gun-17/online', 'airlines/hall-2/gun-07/online'];
  for (let time = 0; time < 4; time++) for (const name of names) expect(find(name)?.topic.name).toBe(name);
  expect(parsed).toEqual(names);
});

test('when too many are known all are forgotten, and found again', () => {
  const { find } = lookup();
  const first = find('a/first');
  expect(find('a/first')).toBe(first);
  for (let other = 0; other < 20_000; other++) find(`a/${other}`);
  expect(find('a/first')).not.toBe(first);
  expect(find('a/first')?.topic.name).toBe('a/first');
});

test('bytes that are no topic to publish to are found as little the second time', () => {
  const { find } = lookup();
  for (let time = 0; time < 3; time++) expect(find('airlines/+/gun-07')).toBeUndefined();
});
