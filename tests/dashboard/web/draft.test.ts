import { expect, test } from 'vitest';
import { LogEntryBody, SUBJECTS } from '../../../collector/contract/index.ts';
import { bodyOf, type Draft, EMPTY, inWords, missing } from '../../../dashboard/web/log/draft.ts';
import { SUBJECT_IDS } from '../../../dashboard/web/log/subjects.ts';

const NOON = Date.UTC(2026, 2, 11, 13, 32);
const draft: Draft = { ...EMPTY, gun: 'gun-01', part: 'pump-insert', action: 'replaced', found: 'worn' };

test('an empty draft says what is missing, in the order of the form', () => {
  expect(missing({ ...EMPTY, at: '' }, 'UTC')).toEqual(['which gun', 'which part', 'what was done', 'when']);
  expect(missing(draft, 'UTC')).toEqual([]);
});

test('a draft made now carries the service’s time, so that it may be sent later', () => {
  expect(bodyOf(draft, NOON, 'Europe/Vienna')).toEqual({
    gun: 'gun-01',
    part: 'pump-insert',
    action: 'replaced',
    found: 'worn',
    time: '2026-03-11T13:32:00.000Z',
  });
});

test('a draft of earlier carries the plant’s time', () => {
  const body = bodyOf({ ...draft, found: null, note: ' tight ', at: '2026-03-11T08:00' }, NOON, 'Europe/Vienna');
  expect(body).toEqual({
    gun: 'gun-01',
    part: 'pump-insert',
    action: 'replaced',
    note: 'tight',
    time: '2026-03-11T07:00:00.000Z',
  });
  expect(LogEntryBody.parse(body)).toEqual(body);
});

test('work can be logged on just what the contract names', () => {
  expect(SUBJECT_IDS).toEqual(SUBJECTS);
});

test('an entry reads as a sentence', () => {
  expect(inWords({ part: 'pump-insert', action: 'replaced', found: 'worn' }, 'Booth 1 left')).toBe(
    'Booth 1 left: pump insert replaced, found worn',
  );
  expect(inWords({ part: 'nozzle', action: 'cleaned', found: null }, 'Booth 1 left')).toBe(
    'Booth 1 left: nozzle cleaned',
  );
});
