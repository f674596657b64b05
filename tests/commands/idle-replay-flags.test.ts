import { expect, test } from 'vitest';
import { refuseIdleFlags } from '../../commands/idle-replay-flags.ts';

test.each([
  [{ settings: 'a', curve: true, maxFalse: 0 }, 'found --max-false, which changes nothing beside --curve'],
  [
    { settings: 'a', suggest: 0.3, curve: true, save: 'f' },
    'found --curve, --save, which change nothing beside --suggest',
  ],
  [{ bundle: 'b', curve: false, from: 't' }, /^found --from, which changes nothing beside a bundle that is reproduced/],
])('options that would change nothing are refused: %j', (flags, sentence) => {
  expect(() => refuseIdleFlags(flags)).toThrow(sentence);
});

test.each([
  { settings: 'a', curve: false, maxFalse: 0, save: 'f', against: 'b', from: 't' },
  { settings: 'a', bundle: 'b', curve: true, from: 't' },
  { bundle: 'b', curve: false, maxMissed: 0 },
])('options that go together are taken: %j', (flags) => {
  expect(() => refuseIdleFlags(flags)).not.toThrow();
});
