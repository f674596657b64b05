import { mkdtempSync, writeFileSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { AppError } from '../../../collector/contract/index.ts';
import { ImportMapping } from '../../../collector/import/import-mapping.ts';
import { importReadings } from '../../../collector/import/import-readings.ts';
import { localHoursText } from '../../../collector/import/local-hours.ts';
import { readImport } from '../../../collector/import/read-import.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { CollectorUnderTest, NOW, PLANT } from '../intake/collector-under-test.ts';

let dir = '';
let said = '';
let printed = '';
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'driftline-import-'));
  said = '';
  printed = '';
});
afterEach(() => rm(dir, { recursive: true }));

const file = (name: string, content: string | Buffer): string => {
  writeFileSync(join(dir, name), content);
  return join(dir, name);
};
const named = (path: string) => ({ path, name: path });
const rows = (count: number, from = NOW - 3_600_000): string =>
  `time,gun,conveying/pressure\n${Array.from({ length: count }, (_, n) => `${(from + 10 * n) / 1000},gun-01,${(1000 + (n % 900)) / 1000}\n`).join('')}`;

const run = (files: string[], more: Partial<Parameters<typeof importReadings>[0]> = {}): Promise<void> => {
  said = '';
  printed = '';
  return importReadings({
    onOwn: () => undefined,
    onBegun: () => undefined,
    dir: join(dir, 'data'),
    plant: PLANT,
    files,
    mapping: null,
    preview: null,
    dryRun: false,
    stdout: {
      write: (text) => {
        printed += text;
      },
    },
    stderr: {
      write: (text) => {
        said += text;
      },
    },
    now: () => NOW,
    signal: new AbortController().signal,
    ...more,
  });
};
const stored = (data = join(dir, 'data')): { readings: number; duplicates: number } => {
  const store = openStore(data);
  const { readings, duplicates } = store.readings.counts('gun-01');
  store.close();
  return { readings, duplicates: duplicates['conveying/pressure'] ?? 0 };
};

describe('an import', () => {
  test('brings the readings of plain and gzip files, with one line of what became of each', async () => {
    await run([file('a.csv', rows(3)), file('b.csv.gz', gzipSync(rows(2, NOW - 1000)))]);
    expect(stored()).toEqual({ readings: 5, duplicates: 0 });
    expect(said).toContain('a.csv: 3 rows, 0 unusable\n');
    expect(said).toContain('b.csv.gz: 100 %, 2 readings\n');
  });

  test('tells how many of the readings were in the store already', async () => {
    await run([file('a.csv', rows(3))]);
    expect(said).not.toContain('already');
    await run([file('b.csv', `${rows(5)}${(NOW - 1000) / 1000},gun-01,1.5\n`)]);
    expect(said).toContain('b.csv: 100 %, 6 readings\n');
    expect(said).toContain('b.csv: 3 of these readings were in the store already\n');
    // One of the two channels of a row is new.
    const row = rows(1).split('\n')[1]!;
    await run([file('c.csv', `time,gun,conveying/pressure,conveying/flow\n${row},2.4\n`)]);
    expect(said).toContain('c.csv: 1 of these readings was in the store already\n');
  });

  test('passes over a file that was imported before, whatever it is called now', async () => {
    await run([file('a.csv', rows(3))]);
    await run([file('again.csv', rows(3))]);
    expect(said).toContain('again.csv: imported before, at 2026-03-03T10:00:00.000Z; nothing to do');
    expect(stored()).toEqual({ readings: 3, duplicates: 0 });
  });

  test('goes on where it was interrupted, and brings nothing twice', async () => {
    const big = file('big.csv', rows(20_000));
    const interrupt = new AbortController();
    let pieces = 0;
    const now = (): number => {
      if (++pieces === 4) interrupt.abort();
      return NOW;
    };
    await expect(run([big], { signal: interrupt.signal, now })).rejects.toThrow(
      /interrupted at \d+ %; the same command goes on there/,
    );
    const { readings } = stored();
    expect(readings).toBeGreaterThan(0);
    expect(readings).toBeLessThan(20_000);
    await run([big]);
    expect(said).toMatch(/goes on at \d+ %/);
    expect(stored()).toEqual({ readings: 20_000, duplicates: 0 });
  });

  test('stores nothing on a dry run or a preview, and shows what would be', async () => {
    await run([file('a.csv', rows(3))], { dryRun: true });
    expect(printed).toBe('gun-01: 3 rows, 2026-03-03T09:00:00.000Z to 2026-03-03T09:00:00.020Z\n');
    await run([file('a.csv', rows(3))], { preview: 1 });
    expect(printed.split('\n')[1]).toMatch(/^2026-03-03T09:00:00\.000Z,gun-01,1,/);
    expect(() => openStore(join(dir, 'data'), { create: false })).toThrow(AppError);
  });

  test('does not take what has not happened yet', async () => {
    await run([file('a.csv', rows(3, NOW + 300_000))]);
    expect(said).toContain('2 readings not taken: more than 5 minutes ahead');
    expect(stored().readings).toBe(1);
  });

  test('counts values outside their limits, as the live intake does', async () => {
    await run([file('a.csv', `time,gun,conveying/pressure\n${NOW / 1000},gun-01,99\n${NOW / 1000 - 1},gun-01,1\n`)]);
    const store = openStore(join(dir, 'data'));
    expect(store.counters()).toMatchObject({ [`range gun-01 conveying/pressure ${Math.floor(NOW / 3_600_000)}`]: 1 });
    store.close();
  });

  test('is taken over by the service that runs on the folder, which tells of it', async () => {
    const it = new CollectorUnderTest();
    const collector = await it.start();
    const told: number[] = [];
    collector.on('committed', (stations) => told.push(...stations.map(({ readings }) => readings)));
    await run([file('a.csv', rows(5000))], { dir: it.dir, now: Date.now });
    expect(said).toContain('a service runs on it and takes the readings over');
    expect(stored(it.dir)).toEqual({ readings: 5000, duplicates: 0 });
    expect(told.reduce((sum, one) => sum + one, 0)).toBe(5000);
    expect(collector.latest('gun-01')!.newestTime).toBe(NOW - 3_600_000 + 49_990);
    await it.end();
  });
});

const MAPPING = {
  delimiter: ';',
  decimal: ',',
  time: { column: 'Zeit', format: 'dd.MM.yyyy HH:mm:ss', zone: 'Europe/Vienna' },
  gun: 'gun-01',
  columns: [{ column: 'Druck', channel: 'conveying/pressure', unit: 'hPa' }],
};

describe("a logger's own file", () => {
  const whole = (text: string | Buffer, mapping: object = {}) =>
    readImport(named(file('logger.csv', text)), PLANT, ImportMapping.parse({ ...MAPPING, ...mapping }));
  const table = async (text: string | Buffer, mapping: object = {}) => (await whole(text, mapping)).table;

  test('is read with its delimiter, decimal comma, date and time zone, refusals on its own lines', async () => {
    const read = await table(
      'Zeit;Druck\n03.03.2026 11:00:00;1.620,5\n03.03.2026 11:00:01;"abc"\n30.02.2026 11:00:02;1\n\n03.03.2026 11:00:03;1700\n',
      {
        absent: ['---'],
      },
    );
    const { times, columns } = read.frames('gun-01');
    expect([...times]).toEqual([NOW, NOW + 3000]);
    expect([...columns['conveying/pressure']!]).toEqual([1.6205, 1.7]);
    expect(read.reports[0]!.unusable).toEqual([
      { reason: 'not-a-number', count: 1, firstLine: 3 },
      { reason: 'time-unreadable', count: 1, firstLine: 4 },
    ]);
  });

  test('may hold several guns side by side, or name them in a column', async () => {
    const side = await table('Zeit;L;R\n03.03.2026 11:00:00;1000;2000\n', {
      columns: [
        { column: 'L', channel: 'conveying/pressure', unit: 'hPa' },
        { column: 'R', channel: 'conveying/pressure', unit: 'hPa', gun: 'gun-02' },
      ],
    });
    expect(side.stations.map((one) => side.frames(one).columns['conveying/pressure']![0])).toEqual([1, 2]);
    const named = await table('Zeit;Druck;Nr\n03.03.2026 11:00:00;1000;7\n03.03.2026 11:00:00;1000;8\n', {
      gun: { column: 'Nr', names: { '7': 'gun-02' } },
    });
    expect(named.stations).toEqual(['gun-02']);
    expect(named.reports[0]!.unusable).toMatchObject([{ reason: 'unknown-gun', count: 1 }]);
  });

  test.each([
    ['windows-1252', Buffer.from('Zeit;Dr\u00fcck\n03.03.2026 11:00:00;1000\n', 'latin1')],
    ['utf-16le', Buffer.from('\ufeffZeit;Dr\u00fcck\r\n03.03.2026 11:00:00;1000\r\n', 'utf16le')],
  ])('may be written in %s', async (encoding, bytes) => {
    const columns = [{ column: 'Dr\u00fcck', channel: 'conveying/pressure', unit: 'hPa' }];
    expect((await table(bytes, { encoding, columns })).frames('gun-01').times).toHaveLength(1);
  });

  test('keeps both hours of an autumn night apart', async () => {
    const night = ['01:30', '02:30', '02:50', '02:10', '02:40', '03:10'];
    const read = await table(`Zeit;Druck\n${night.map((clock) => `25.10.2026 ${clock}:00;1000\n`).join('')}`);
    const hours = [...read.frames('gun-01').times].map((ms) => new Date(ms).toISOString().slice(11, 16));
    expect(hours).toEqual(['23:30', '00:30', '00:50', '01:10', '01:40', '02:10']);
  });

  test('keeps the autumn nights of several guns apart where one follows the other', async () => {
    const night = (nr: number): string =>
      ['02:30', '02:10', '03:10'].map((clock) => `25.10.2026 ${clock}:00;1000;${nr}\n`).join('');
    const read = await table(`Zeit;Druck;Nr\n${night(7)}${night(8)}`, {
      gun: { column: 'Nr', names: { '7': 'gun-01', '8': 'gun-02' } },
    });
    expect([...read.frames('gun-02').times]).toEqual([...read.frames('gun-01').times]);
  });

  test('says which rows have a time that the clock left out or showed twice, whatever gun their columns are of', async () => {
    const columns = [
      ...MAPPING.columns,
      { column: 'Druck', channel: 'conveying/pressure', unit: 'hPa', gun: 'gun-02' },
    ];
    const spring = await whole('Zeit;Druck\n29.03.2026 01:59:00;1\n29.03.2026 02:30:00;1\n29.03.2026 03:00:00;1\n', {
      columns,
    });
    expect(spring.localHours).toEqual({
      zone: 'Europe/Vienna',
      never: { count: 1, firstLine: 3 },
      twice: { count: 0, firstLine: null },
    });
    expect(localHoursText(spring.localHours!)).toEqual([
      '1 row, on line 3, has a time that the clock of Europe/Vienna leaves out in spring; taken as if it had run on, so that 02:30 counts as 03:30',
    ]);
    const autumn = await whole('Zeit;Druck\n25.10.2026 02:00:00;1\n25.10.2026 02:59:59;1\n25.10.2026 03:00:00;1\n');
    expect(autumn.localHours?.twice).toEqual({ count: 2, firstLine: 2 });
    expect((await whole('Zeit;Druck\n25.10.2026 01:59:59;1\n')).localHours).toBeNull();
  });

  test('takes the usual marks of a missing value as empty, and says how many and where', async () => {
    const columns = [
      { column: 'Druck', channel: 'conveying/pressure', unit: 'hPa' },
      { column: 'Pulver', channel: 'powder/id' },
    ];
    const at = (second: number): string => `02.03.2026 06:00:0${second}`;
    const read = await whole(
      `Zeit;Druck;Pulver\n${at(0)};1000;NA\n${at(1)};---;NA\n${at(2)};n/a;--\n${at(3)};off;NA\n${at(4)};x;NA\n`,
      { columns, absent: ['off'] },
    );
    expect(read.missing).toEqual({ cells: 4, firstLine: 3, marks: ['---', 'n/a', '--', 'off'] });
    // What is neither a number nor a usual mark is still refused; a powder may be called NA.
    expect(read.table.reports[0]!.unusable).toEqual([{ reason: 'not-a-number', count: 1, firstLine: 6 }]);
    expect(read.table.frames('gun-01').strings).toEqual(['NA']);
    expect((await whole(`Zeit;Druck\n${at(0)};1000\n`)).missing).toBeNull();
  });

  test('reads thousands that are set apart, and says where a lone point was taken for their mark', async () => {
    const at = (second: number): string => `02.03.2026 06:00:0${second}`;
    const cells = ['1 501,5', '1\u00a0502,5', '1\u202f503,5', "1'504,5", '1.505,5', '1.506', '1,507'];
    const read = await whole(`Zeit;Druck\n${cells.map((cell, index) => `${at(index)};${cell}\n`).join('')}`);
    expect([...read.table.frames('gun-01').columns['conveying/pressure']!]).toEqual([
      1.5015, 1.5025, 1.5035, 1.5045, 1.5055, 1.506, 0.0015,
    ]);
    expect(read.thousands).toEqual({ cells: 1, firstLine: 7, marks: ['1.506'] });
    expect(read.table.reports[0]!.unusable).toEqual([]);
    expect((await whole(`Zeit;Druck\n${at(0)};1 501,5\n`)).thousands).toBeNull();
    // A point may be a default that nobody stated: what is then a fraction or thousands is neither.
    const point = await whole(`Zeit;Druck\n${at(0)};1,501.5\n${at(1)};1,501\n${at(2)};1 50,5\n`, { decimal: '.' });
    expect([...point.table.frames('gun-01').columns['conveying/pressure']!]).toEqual([1.5015]);
    expect(point.table.reports[0]!.unusable).toEqual([{ reason: 'not-a-number', count: 2, firstLine: 3 }]);
  });

  test('without a column that the mapping names is refused with those that it has', async () => {
    await expect(table('Zeit;Pressure\n')).rejects.toThrow(
      /logger\.csv: line 1: headings: found no column "Druck" among Zeit \| Pressure, expected the columns that the mapping names/,
    );
  });

  test('with a heading over several columns is read by their numbers, and refused where the mapping leaves open which', async () => {
    const text = 'Zeit;Druck;Druck;Druck (2)\n02.03.2026 06:00:00;1000;2000;3000\n';
    await expect(table(text)).rejects.toThrow(
      /logger\.csv: line 1: headings: found 2 columns "Druck", expected the mapping to say which: Druck \(1\) \| Druck \(3\)/,
    );
    const second = [{ column: 'Druck (3)', channel: 'conveying/pressure', unit: 'hPa' }];
    expect([...(await whole(text, { columns: second })).table.frames('gun-01').columns['conveying/pressure']!]).toEqual(
      [2],
    );
  });

  test('with more cells than headings in a row loses that row, and not its meaning', async () => {
    const at = (second: number): string => `02.03.2026 06:00:0${second}`;
    const read = await table(`Zeit;Druck\n${at(0)};1;000\n${at(1)};1000;\n${at(2)};1000;;\n${at(3)};1000\n`);
    expect(read.reports[0]).toMatchObject({ rows: 4, unusable: [{ reason: 'ragged', count: 1, firstLine: 2 }] });
  });

  test('whatever it holds, is read or refused with a reason', async () => {
    const cell = fc.oneof(
      fc.string({ maxLength: 12 }),
      fc.constantFrom('"', '""', '1,5', '03.03.2026 11:00:00', '\r', ';;'),
    );
    await fc.assert(
      fc.asyncProperty(fc.array(fc.array(cell, { maxLength: 4 }), { maxLength: 8 }), async (lines) => {
        try {
          const read = await table(`Zeit;Druck\n${lines.map((cells) => cells.join(';')).join('\n')}`);
          expect(read.reports[0]!.rows).toBeGreaterThan(0);
        } catch (error) {
          expect(error).toBeInstanceOf(AppError);
          expect((error as AppError).code).toBe('READINGS_UNUSABLE');
        }
      }),
      { numRuns: 150 },
    );
  });
});

test.each([
  [{ time: { column: 'Zeit', format: 'dd.MM.yyyy HH:mm' } }, 'expected a time zone'],
  [{ time: { column: 'Zeit', as: 'sheet-days' } }, 'expected a time zone, since days of a spreadsheet'],
  [{ time: { column: 'Zeit', format: 'dd.QQ.yyyy' } }, '"QQ", which means nothing here'],
  [{ gun: undefined }, 'expected a gun here or for the whole file'],
  [{ columns: [...MAPPING.columns, ...MAPPING.columns] }, 'expected each channel once for a gun'],
  [{ columns: [{ column: 'x', channel: 'trigger', scale: 2 }] }, 'expected neither scale nor offset'],
])('a mapping is refused: %j', (change, message) => {
  const result = ImportMapping.safeParse({ ...MAPPING, ...change });
  expect(result.error?.issues.map((issue) => issue.message).join()).toContain(message);
});
