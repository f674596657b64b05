import { expect, test } from 'vitest';
import { statedWords } from '../../../dashboard/shop/stated-words.ts';

const stated = (subject: string, body: unknown) =>
  statedWords({ subject, version: 2, body, recordedAt: 0, who: 'Anna' });

test.each([
  ['costs', {}, { kind: 'figures', gun: null, subject: 'figures', what: 'of costs, version 2 stated' }],
  ['item:nozzle', {}, { kind: 'figures', gun: null, subject: 'nozzle', what: 'how it is kept, version 2 stated' }],
  [
    'losses:2026-03:gun-02',
    {},
    { kind: 'figures', gun: 'gun-02', subject: 'figures', what: 'of powder and rejects in 2026-03, version 2 stated' },
  ],
  [
    'rule::nozzle',
    { value: null, did: 'interval back to the usual' },
    { kind: 'figures', gun: null, subject: 'nozzle', what: 'interval back to the usual' },
  ],
  [
    'service:gun-01',
    { value: {}, did: 'out of service: oven' },
    { kind: 'figures', gun: 'gun-01', subject: '', what: 'out of service: oven' },
  ],
  [
    'calendar',
    { value: {}, did: 'shift calendar set' },
    { kind: 'figures', gun: null, subject: '', what: 'shift calendar set' },
  ],
  [
    'job:gun-01~pump-insert~20260309T132500000Z',
    { value: {}, did: 'acknowledged' },
    { kind: 'job', gun: 'gun-01', subject: 'pump-insert', what: 'job acknowledged' },
  ],
  [
    'job:_~supply-air~20260309T132500000Z',
    { value: {}, did: 'acknowledged' },
    { kind: 'job', gun: null, subject: 'supply-air', what: 'job acknowledged' },
  ],
  [
    'job:gun-01~sensor.conveying.flow~20260309T132500000Z',
    { value: {}, did: 'done' },
    { kind: 'job', gun: 'gun-01', subject: 'sensor:conveying/flow', what: 'job done' },
  ],
])('%s is told in the words of who set it', (subject, body, words) => {
  expect(stated(subject, body)).toEqual(words);
});
