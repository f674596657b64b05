import { expect, test } from 'vitest';
import { auditSentence } from '../../../dashboard/web/people/audit-words.ts';
import { openHall } from '../open-hall.ts';

const name = (id: string): string => (id === 'gun-01' ? 'Booth 1 left' : id);
const say = (what: string, body: object = {}): string | null => auditSentence(what, JSON.stringify(body), name);

test('an entry says what was changed, with the names that people know', () => {
  const log = { gun: 'gun-01', part: 'pump-insert', action: 'replaced', found: 'worn', note: 'x' };
  expect(say('POST /api/log', log)).toBe('Logged at Booth 1 left: pump insert replaced, found worn');
  expect(say('POST /api/settings', { settings: {}, why: 'fewer alarms' })).toBe('Adopted settings: fewer alarms');
  expect(say('POST /api/jobs/gun-01~pump-seals~20260309T132500000Z/deeds', { deed: 'shelve', reason: 'no part' })).toBe(
    'Shelved a job: pump seals of Booth 1 left: no part',
  );
  expect(say('POST /api/jobs/gun-01~sensor.conveying.flow~20260309T132500000Z/deeds', { deed: 'unshelve' })).toBe(
    'Took a job off the shelf: sensor of conveying flow of Booth 1 left',
  );
  expect(say('PUT /api/intervals/all/gun-seals')).toBe('Set the interval of the gun seals for all guns');
  expect(say('PUT /api/guns/gun-01/service', { version: 0, outOfService: null })).toBe(
    'Put back into service: Booth 1 left',
  );
});

test('an entry with words of its own stays, and one that was cut still says what is known of it', () => {
  expect(auditSentence('person added', 'Anna, fitter', name)).toBeNull();
  const cut = `{"gun":"gun-01","part":"nozzle","action":"inspected","note":"${'x'.repeat(50)}…`;
  expect(auditSentence('POST /api/log', cut, name)).toBe('Logged at Booth 1 left: nozzle inspected');
});

/** Addresses whose entries have words of their own, and those that change nothing. */
const OWN_WORDS =
  /\/(people|tokens|station-accounts|me|sign-in|sign-out|welcome)(\/|$)|consequences|parameters|preview|bytes/;

test('every address that changes something has its sentence', async () => {
  const { get } = await openHall();
  const { body } = await get('/api/openapi.json');
  const { paths } = body as { paths: Record<string, Record<string, unknown>> };
  const changing = Object.entries(paths).flatMap(([path, methods]) =>
    Object.keys(methods)
      .filter((method) => method !== 'get' && !OWN_WORDS.test(path))
      .map((method) => `${method.toUpperCase()} ${path.replace(/\{\w+\}/g, 'gun-01')}`),
  );
  expect(changing.length).toBeGreaterThan(20);
  expect(changing.filter((what) => say(what) === 'Changed something by the API')).toEqual([]);
});
