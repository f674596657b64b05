import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { Plant } from '../../../collector/contract/index.ts';
import { openStore } from '../../../collector/index.ts';
import { addToLog } from '../../../dashboard/service/log-add.ts';
import { recordPlant } from '../../../dashboard/service/plant-record.ts';

const dir = mkdtempSync(join(tmpdir(), 'driftline-log-add-'));
const NOW = Date.UTC(2026, 2, 11, 12);
const store = openStore(dir, { create: true });
recordPlant(store, Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] }));
store.close();
afterAll(() => rmSync(dir, { recursive: true, force: true }));

const fields = { dir, gun: 'gun-01', part: 'nozzle', action: 'replaced' };

test('an entry is written with the time that was given, in either form of the log file', () => {
  expect(addToLog({ ...fields, time: '2026-03-11T10:30:00+01:00' }, NOW).time).toBe(Date.UTC(2026, 2, 11, 9, 30));
  expect(addToLog({ ...fields, time: '1773225000.5', found: '' }, NOW)).toMatchObject({
    time: Date.UTC(2026, 2, 11, 10, 30, 0, 500),
    found: null,
  });
  expect(addToLog(fields, NOW).time).toBe(NOW);
});

test.each([
  [{ time: 'yesterday' }, '--time: found "yesterday", expected ISO 8601 with offset or Unix seconds'],
  [{ time: '2027-01-01T00:00:00Z' }, '--time: "2027-01-01T00:00:00Z" is in the future'],
  [{ gun: 'gun-09' }, '--gun: no gun "gun-09" in the plant file; expected one of gun-01'],
  [{ part: 'pomp' }, '--part: found "pomp", expected one of inlet-filter, '],
  [{ found: 'rusty' }, '--found: found "rusty", expected one of good, worn, failed'],
  [{ note: 'a\u001b[31m' }, '--note: holds control characters'],
  [{ note: 'n'.repeat(2001) }, 'expected at most 2000 characters'],
])('what does not fit is refused by its option: %j', (wrong, says) => {
  expect(() => addToLog({ ...fields, ...wrong }, NOW)).toThrow(
    expect.objectContaining({ code: 'USAGE', message: expect.stringContaining(says) }),
  );
});
