import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { beforeEach, describe, expect, test } from 'vitest';
import { Plant } from '../../collector/contract/index.ts';
import { openStore } from '../../collector/index.ts';
import { addExport } from '../../commands/export.ts';
import { addLog } from '../../commands/log.ts';
import { recordPlant } from '../../dashboard/service/plant-record.ts';
import { tempDir } from '../collector/store/temp-dir.ts';
import { printed } from './printed.ts';
import { remarks } from './remarks.ts';

const HEADER = 'time,gun,part,action,found,note';
const TWO = `${HEADER}\n2026-03-02T05:00:00+01:00,gun-01,pump-insert,replaced,worn,\n1772600000,gun-02,pump-seals,refitted,,"after ""noise"", again"\n`;

let dir = '';
beforeEach(() => {
  dir = tempDir();
  const store = openStore(join(dir, 'data'), { create: true });
  const guns = [{ id: 'gun-01' }, { id: 'gun-02' }];
  recordPlant(store, Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns }));
  store.close();
});

const file = (name: string, content: string | Buffer): string => {
  writeFileSync(join(dir, name), content);
  return join(dir, name);
};
const take = async (...words: string[]): Promise<string> =>
  (await remarks(addLog, 'log', 'import', '--data', join(dir, 'data'), ...words)).text;
const logged = (): unknown[] => {
  const store = openStore(join(dir, 'data'));
  try {
    return store.log.list().map(({ time, gun, part, found, note }) => [time, gun, part, found, note]);
  } finally {
    store.close();
  }
};

describe('a maintenance log from files', () => {
  test('is written down as it stands, and the same again is not', async () => {
    const old = file('old.csv', TWO);
    expect(await take('--dry-run', old)).toBe(`${old}: 2 entries would be written down\n`);
    expect(logged()).toEqual([]);
    expect(await take(old)).toBe(`${old}: 2 entries written down\n`);
    expect(logged()).toEqual([
      [Date.UTC(2026, 2, 2, 4), 'gun-01', 'pump-insert', 'worn', ''],
      [1_772_600_000_000, 'gun-02', 'pump-seals', null, 'after "noise", again'],
    ]);
    const more = file('more.csv.gz', gzipSync(`${TWO}2026-03-05T05:00:00Z,gun-01,nozzle,replaced,good,\n`));
    expect(await take(old, more)).toBe(
      `${old}: 0 entries written down; 2 there already\n${more}: 1 entry written down; 2 there already\n`,
    );
    expect(logged()).toHaveLength(3);
  });

  test.each([
    ['2026-03-02T05:00:00,gun-01,nozzle,replaced,,', 'line 2: time: found "2026-03-02T05:00:00", which has no offset'],
    ['2026-03-02T05:00:00Z,gun-09,nozzle,replaced,,', 'line 2: gun: found "gun-09"'],
    ['2026-03-02T05:00:00Z,gun-01,pomp,replaced,,', 'line 2: part: found "pomp"'],
    ['2097-03-02T05:00:00Z,gun-01,nozzle,replaced,,', 'gun-01, nozzle replaced at 2097-03-02T05:00:00.000Z: '],
  ])('with a row that does not fit is refused whole, and other files with it: %s', async (row, says) => {
    const [good, bad] = [file('good.csv', TWO), file('bad.csv', `${HEADER}\n${row}\n`)];
    await expect(take(good, bad)).rejects.toMatchObject({
      code: 'LOG_UNUSABLE',
      message: expect.stringContaining(says),
    });
    expect(logged()).toEqual([]);
  });

  test('that our own export wrote goes into another folder without what was taken back', async () => {
    await take(file('old.csv', TWO));
    await remarks(addLog, 'log', 'undo', '--data', join(dir, 'data'), '--entry', '2', '--why', 'the other gun');
    const exported = file('exported.csv', await printed(addExport, 'export', 'log', '--data', join(dir, 'data')));
    // What was taken back here does not come again with it either.
    expect(await take(exported)).toContain(
      ': 0 entries written down; 1 there already; 1 taken back before, passed over',
    );
    expect(await take(file('old.csv', TWO))).toContain(': 0 entries written down; 2 there already');
    expect(logged()).toHaveLength(1);
  });
});
