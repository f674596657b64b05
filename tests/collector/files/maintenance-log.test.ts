import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ACTIONS, FOUND, SUBJECTS } from '../../../collector/contract/index.ts';
import { parseLog, readLog } from '../../../collector/files/maintenance-log.ts';
import { parsePlant } from '../../../collector/files/plant.ts';

const plant = parsePlant(
  'site: { id: h, timezone: UTC }\nguns: [{ id: gun-01 }, { id: gun-02 }]\nair: [{ id: dryer-out }]\n',
);
const HEAD = 'time,gun,part,action,found,note';
const GOOD = '2026-03-02T09:10:00+01:00,gun-01,pump-insert,replaced,worn,';
const log = (...rows: string[]) => parseLog(Buffer.from(`${HEAD}\n${rows.join('\n')}\n`), plant);
const fault = (text: string | Buffer): string => {
  try {
    parseLog(Buffer.from(text), plant);
  } catch (error) {
    expect(error).toMatchObject({ code: 'LOG_UNUSABLE' });
    return (error as Error).message;
  }
  throw new Error('expected a fault');
};

describe('the maintenance log', () => {
  it('is read into entries by time', () => {
    expect(log(GOOD, '1772436600,gun-02,sensor:conveying/flow,replaced,,"new, larger ""one"""', '').entries).toEqual([
      {
        time: 1_772_436_600_000,
        gun: 'gun-02',
        part: 'sensor:conveying/flow',
        action: 'replaced',
        found: null,
        note: 'new, larger "one"',
      },
      { time: 1_772_439_000_000, gun: 'gun-01', part: 'pump-insert', action: 'replaced', found: 'worn', note: '' },
    ]);
  });

  it('may have its columns in any order, quotes, CRLF and a byte-order mark', () => {
    const text =
      '\ufeff"note",found,action,part,gun,time\r\n"two\r\nlines",good,inspected,nozzle,gun-01,2026-03-02T09:10:00Z';
    const { entries } = parseLog(Buffer.from(text), plant);
    expect(entries).toEqual([
      {
        time: Date.UTC(2026, 2, 2, 9, 10),
        gun: 'gun-01',
        part: 'nozzle',
        action: 'inspected',
        found: 'good',
        note: 'two\r\nlines',
      },
    ]);
  });

  it('takes a quote inside an unquoted field for itself', () => {
    expect(log(`${GOOD}2" hose`).entries[0]?.note).toBe('2" hose');
  });

  it('may be a header alone', () => {
    expect(log()).toEqual({ entries: [], takenBack: 0, ignoredColumns: [] });
  });

  it('leaves out what our own export calls taken back', () => {
    const rows = `${HEAD},taken_back\n${GOOD},2026-03-03T08:00:00+01:00\n${GOOD},\n`;
    const { entries, takenBack, ignoredColumns } = parseLog(Buffer.from(rows), plant);
    expect([entries.length, takenBack, ignoredColumns]).toEqual([1, 1, []]);
  });

  it('names columns that are none of its own', () => {
    const { ignoredColumns } = parseLog(Buffer.from(`${HEAD},fitter\n${GOOD},anyone\n`), plant);
    expect(ignoredColumns).toEqual(['fitter']);
  });

  it.each([
    ['', 'log.csv: found an empty file, expected a maintenance log (CSV)'],
    ['\n\n', 'log.csv: found an empty file'],
    ['time,gun,part\n', 'log.csv: line 1: action: found no such column in "time,gun,part"'],
    ['time,gun,part,action,gun\n', 'line 1: gun: found it twice'],
    [
      `${HEAD}\n${GOOD}\n2026-03-02T09:10:00,gun-01,nozzle,inspected,,\n`,
      'line 3: time: found "2026-03-02T09:10:00", which has no offset, expected ISO 8601',
    ],
    [`${HEAD}\nsoon,gun-01,nozzle,inspected,,\n`, 'line 2: time: found "soon"'],
    [`${HEAD}\n1999-12-31T23:59:59Z,gun-01,nozzle,inspected,,\n`, 'line 2: time: found "1999-12-31T23:59:59Z"'],
    [`${HEAD}\n\n\n${GOOD.replace('gun-01', 'gun-9')}\n`, 'line 4: gun: found "gun-9", expected the id of a gun'],
    [`${HEAD}\n${GOOD.replace('gun-01', 'dryer-out')}\n`, 'line 2: gun: found "dryer-out"'],
    [`${HEAD}\n${GOOD.replace('pump-insert', 'pump')}\n`, 'line 2: part: found "pump", expected one of inlet-filter'],
    [`${HEAD}\n${GOOD.replace('pump-insert', 'sensor:flow')}\n`, 'line 2: part: found "sensor:flow"'],
    [
      `${HEAD}\n${GOOD.replace('replaced', 'swapped')}\n`,
      'line 2: action: found "swapped", expected one of replaced inspected',
    ],
    [
      `${HEAD}\n${GOOD.replace('worn', 'bad\u0007')}\n`,
      'line 2: found: found "bad\ufffd", expected one of good worn failed',
    ],
    [`${HEAD}\n${GOOD},\n`, 'line 2: row: found 7 fields, expected 6'],
    [`${HEAD}\n"a\nb",gun-01,nozzle,inspected,,\n`, 'line 2: time'],
    [`${HEAD}\n${GOOD}"open\n`, 'line 2: row: found a quote that is never closed'],
    [`${HEAD}\n${GOOD}\n"open,gun-01\n`, 'line 3: row: found a quote that is never closed'],
    [Buffer.from([0x74, 0xff]), 'found bytes that are not UTF-8'],
    [`${HEAD}\n${GOOD}${'x'.repeat(2001)}\n`, 'line 2: note: found 2001 characters, expected at most 2000'],
  ])('is refused whole with one line: %#', (text, expected) => {
    const line = fault(text);
    expect(line).toContain(expected);
    expect(line).not.toMatch(/\p{Cc}/u);
  });

  it('reads what csv-stringify writes, as csv-parse does', () => {
    const entry = fc.record({
      time: fc
        .integer({ min: Date.UTC(2026, 0, 1), max: Date.UTC(2027, 0, 1) })
        .map((ms) => new Date(ms).toISOString()),
      gun: fc.constantFrom('gun-01', 'gun-02'),
      part: fc.constantFrom(...SUBJECTS),
      action: fc.constantFrom(...ACTIONS),
      found: fc.constantFrom('', ...FOUND),
      note: fc.string({ unit: fc.constantFrom('a', ' ', ',', '"', '\n', 'ß'), maxLength: 12 }),
    });
    fc.assert(
      fc.property(fc.array(entry, { maxLength: 8 }), (rows) => {
        const text = stringify(rows, { header: true, columns: HEAD.split(','), quoted: true });
        const expected = (parse(text, { columns: true }) as Record<string, string>[])
          .map((row) => ({
            ...row,
            time: Date.parse(row.time ?? ''),
            found: row.found || null,
            note: row.note?.trim(),
          }))
          .sort((left, right) => left.time - right.time);
        expect(parseLog(Buffer.from(text), plant).entries).toEqual(expected);
      }),
    );
  });
});

describe('a log on disk', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'driftline-log-'));
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  it('may be gzip', async () => {
    const file = join(folder, 'log.csv.gz');
    writeFileSync(file, gzipSync(`${HEAD}\n${GOOD}\n`));
    expect((await readLog(file, plant)).entries).toHaveLength(1);
  });

  it.each([
    ['missing', 'nowhere.csv', null, 'found no such file'],
    ['empty', 'empty.csv', Buffer.alloc(0), 'found an empty file'],
    ['cut gzip', 'cut.csv.gz', gzipSync(`${HEAD}\n${GOOD}\n`).subarray(0, 40), 'found gzip data that ends too early'],
    ['a bomb', 'bomb.csv.gz', gzipSync(Buffer.alloc(40_000_000, '\n')), 'found more than 33554432 bytes'],
  ])('is refused when it is %s', async (_, name, content, expected) => {
    const file = join(folder, name);
    if (content !== null) writeFileSync(file, content);
    await expect(readLog(file, plant)).rejects.toMatchObject({
      code: 'LOG_UNUSABLE',
      message: expect.stringContaining(expected),
    });
  });
});

describe('a plant-air point', () => {
  it('has sensors that can be exchanged, and no parts', () => {
    const row = (part: string): string => `2026-03-02T09:10:00Z,dryer-out,${part},replaced,,`;
    expect(log(row('sensor:supply/dewpoint')).entries).toHaveLength(1);
    expect(fault(`${HEAD}\n${row('nozzle')}\n`)).toMatch(/gun.*dryer-out/);
  });
});
