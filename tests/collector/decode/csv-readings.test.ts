import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHANNEL_NAMES, type Frames, formatTime } from '../../../collector/contract/index.ts';
import { CSV_LIMITS, CsvReadings } from '../../../collector/decode/csv-readings.ts';
import { writeReadings } from '../../../collector/decode/csv-write.ts';
import type { ReadingsTable } from '../../../collector/decode/readings-table.ts';
import { planStations } from '../../../collector/decode/station-plan.ts';
import { summaryLine } from '../../../collector/decode/tally.ts';
import { parsePlant } from '../../../collector/files/plant.ts';

const plant = parsePlant(`
site: { id: hall-1, timezone: Europe/Vienna }
guns:
  - { id: gun-01 }
  - id: gun-02
    channels: { conveying/flow: { reference: iso8778, range: [0, 8] } }
air: [{ id: dryer-out }]
`);
const plans = planStations(plant);
const HEAD = 'time,gun,conveying/pressure,conveying/flow,trigger,powder/id';
const T = '2026-03-02T09:10:0';

/** Reads files given as text, cut into chunks of a size. */
const read = (files: readonly (string | Buffer)[], chunk = 1 << 20, limits = CSV_LIMITS): ReadingsTable => {
  const readings = new CsvReadings(plans, limits);
  for (const [index, file] of files.entries()) {
    const bytes = Buffer.from(file);
    readings.beginFile(`file-${index + 1}.csv`);
    for (let at = 0; at < bytes.length; at += chunk) readings.push(bytes.subarray(at, at + chunk));
    readings.endFile();
  }
  return readings.finish();
};
const readRows = (...rows: string[]): ReadingsTable => read([`${HEAD}\n${rows.join('\n')}\n`]);
const summary = (table: ReadingsTable): string[] => table.reports.map(summaryLine);
const fault = (...files: (string | Buffer)[]): string => {
  try {
    read(files);
  } catch (error) {
    return (error as Error).message;
  }
  throw new Error('expected a fault');
};
/** Frames as rows of time and values, for comparing. */
const rowsOf = ({ times, columns, strings }: Frames) =>
  [...times].map((time, row) => {
    const entries = CHANNEL_NAMES.flatMap((name) => {
      const value = columns[name]?.[row] ?? Number.NaN;
      return Number.isNaN(value) ? [] : [[name, name === 'powder/id' ? strings[value] : value]];
    });
    return [new Date(time).toISOString(), Object.fromEntries(entries)];
  });

describe('a file of readings', () => {
  it('becomes columns by station, sorted by time', () => {
    const table = readRows(
      `${T}2Z,gun-01,1.85,3.2,1,p-white-07`,
      `${T}1Z,gun-02,1.5,4,0,`,
      `${T}0+00:00,gun-01,-0.01,,0,p-white-07`,
    );
    expect(table.stations).toEqual(['gun-01', 'gun-02']);
    expect(rowsOf(table.frames('gun-01'))).toEqual([
      [`${T}0.000Z`, { 'conveying/pressure': -0.01, trigger: 0, 'powder/id': 'p-white-07' }],
      [`${T}2.000Z`, { 'conveying/pressure': 1.85, 'conveying/flow': 3.2, trigger: 1, 'powder/id': 'p-white-07' }],
    ]);
    // 4 m3/h at ISO 8778 is 3.678 m3/h at DIN 1343.
    expect(rowsOf(table.frames('gun-02'))).toEqual([
      [`${T}1.000Z`, { 'conveying/pressure': 1.5, 'conveying/flow': 3.678, trigger: 0 }],
    ]);
    expect(summary(table)).toEqual(['file-1.csv: 3 rows, 0 unusable']);
  });

  it('may call its column station, give Unix seconds, and hold air points', () => {
    const table = read(['supply/pressure,station,time\n6.5,dryer-out,1772442600.5\n']);
    expect(rowsOf(table.frames('dryer-out'))).toEqual([['2026-03-02T09:10:00.500Z', { 'supply/pressure': 6.5 }]]);
  });

  it.each([
    ['conveying/pressure [kPa]', '185', 'conveying/pressure', 1.85],
    ['conveying/pressure[Pa]', '185000', 'conveying/pressure', 1.85],
    ['conveying/pressure [[psi]]', '26.832', 'conveying/pressure', 1.85],
    ['conveying/pressure [psi]', '26.832', 'conveying/pressure', 1.85],
    ['conveying/flow [[ft_i]3/min]', '2', 'conveying/flow', 3.398],
    ['conveying/flow [ft_i]3/min', '2', 'conveying/flow', 3.398],
    ['powder/output [kg/h]', '9', 'powder/output', 150],
    ['powder/output [lb_av]/h', '20', 'powder/output', 151.2],
    ['supply/temperature [degF]', '68', 'supply/temperature', 20],
    ['supply/dewpoint [K]', '276.15', 'supply/dewpoint', 3],
    ['powder/mass [g]', '12500', 'powder/mass', 12.5],
  ] as const)('converts from the unit in its header: %s', (column, cell, channel, expected) => {
    const table = read([`time,gun,${column}\n${T}0Z,gun-01,${cell}\n`]);
    expect(table.frames('gun-01').columns[channel]?.[0]).toBe(expected);
  });

  it('may start with a byte-order mark, end lines with CRLF and lack the last line end', () => {
    const table = read([`\ufeff${HEAD}\r\n${T}0Z,gun-01,1,2,1,p\r\n\r\n${T}1Z,gun-01,1,2,1,p`]);
    expect(table.frames('gun-01').times.length).toBe(2);
    expect(table.frames('gun-01').strings).toEqual(['p']);
    expect(summary(table)).toEqual(['file-1.csv: 2 rows, 0 unusable']);
  });

  it('may quote any field', () => {
    const table = read([
      `"time","gun","powder/id","trigger","conveying/flow"\n"${T}0Z","gun-01","white, ""fine""","1","3.5"\n`,
    ]);
    expect(rowsOf(table.frames('gun-01'))).toEqual([
      [`${T}0.000Z`, { 'powder/id': 'white, "fine"', trigger: 1, 'conveying/flow': 3.5 }],
    ]);
  });

  it('names the columns that are no channel, and ignores them', () => {
    const table = read([`time,gun,operator,trigger,conveying/speed\n${T}0Z,gun-01,"two\nlines",1,7\nx,gun-01,,1,\n`]);
    expect(summary(table)).toEqual([
      'file-1.csv: 2 rows, 1 unusable (1 unreadable time, first on line 4); columns ignored: "operator", "conveying/speed"',
    ]);
  });

  it('counts unusable rows and cells by reason, with the first line', () => {
    const table = readRows(
      `${T}0Z,gun-01,1,2,1,p`,
      `${T}1Z,gun-99,1,2,1,p`,
      `${T}1Z,,1,2,1,p`,
      `${T}1Z,gun-01,1,2,1`,
      `${T}1Z,gun-01,1,2,1,p,q`,
      `${T}1,gun-01,1,2,1,p`,
      `soon,gun-01,1,2,1,p`,
      `1999-12-31T23:59:59.999Z,gun-01,1,2,1,p`,
      `${T}2Z,gun-01,one,1.2.3,2,`,
      `${T}3Z,gun-01,16.0001,-0.501,yes,p`,
      `${T}4Z,gun-01,16,-0.5,0,p\u0007`,
    );
    expect(summary(table)).toEqual([
      'file-1.csv: 11 rows, 14 unusable (2 unknown gun, first on line 3; 2 ragged, first on line 5; 1 time without offset, ' +
        'first on line 7; 1 unreadable time, first on line 8; 1 time before 2000, first on line 9; 2 not a number, first on ' +
        'line 10; 2 trigger other than 0/1, first on line 10; 2 outside its limits, first on line 11; 1 unusable powder id, ' +
        'first on line 12)',
    ]);
    expect(rowsOf(table.frames('gun-01')).map(([, values]) => values)).toEqual([
      { 'conveying/pressure': 1, 'conveying/flow': 2, trigger: 1, 'powder/id': 'p' },
      { 'powder/id': 'p' },
      { 'conveying/pressure': 16, 'conveying/flow': -0.5, trigger: 0 },
    ]);
  });

  it.each(['1', '1.0', '+1', ' 1 ', '1.', '1e0', '10E-1', '"1"', '001', '.1e1', '1.0000000000000000000001'])(
    'reads the number %s',
    (cell) => {
      const table = readRows(`${T}0Z,gun-01,${cell},2,${cell},p`);
      expect(table.frames('gun-01').columns['conveying/pressure']?.[0]).toBe(1);
      expect(table.frames('gun-01').columns.trigger?.[0]).toBe(1);
    },
  );

  it.each(['-', '.', '1,5'.replace(',', ';'), 'NaN', 'inf', '0x1', '1 2', '--1', '1e', '"1""', 'null', '１', '\u0000'])(
    'counts %j as no number',
    (cell) => {
      const table = read([`time,gun,trigger,conveying/flow\n${T}0Z,gun-01,1,${cell}\n${T}1Z,gun-01,1,2\n`]);
      expect(table.reports[0]?.unusable.map((entry) => entry.reason)).toEqual(
        cell === '"1""' ? ['ragged'] : ['not-a-number'],
      );
    },
  );

  it('tells out-of-range values by station, channel and hour', () => {
    const table = readRows(
      '2026-03-02T09:10:00Z,gun-01,1,60,1,p',
      '2026-03-02T09:59:59Z,gun-01,1,60,1,p',
      '2026-03-02T10:00:00Z,gun-01,1,60,1,p',
      '2026-03-02T10:00:00Z,gun-02,17,3,1,p',
    );
    const hour = Date.UTC(2026, 2, 2, 9);
    expect(table.rangeFacts).toEqual([
      { station: 'gun-01', channel: 'conveying/flow', time: hour, count: 2 },
      { station: 'gun-01', channel: 'conveying/flow', time: hour + 3_600_000, count: 1 },
      { station: 'gun-02', channel: 'conveying/pressure', time: hour + 3_600_000, count: 1 },
    ]);
  });

  it('tells unusable times by station, near its last good time', () => {
    const table = readRows(
      '1970-01-01T00:00:01Z,gun-01,1,2,1,p',
      '2026-03-02T09:10:00Z,gun-01,1,2,1,p',
      '1970-01-01T00:00:05Z,gun-01,1,2,1,p',
      'never,gun-01,1,2,1,p',
      'never,gun-02,1,2,1,p',
    );
    expect(table.clockFacts).toEqual([
      { station: 'gun-01', time: Date.UTC(2026, 2, 2, 9), count: 2, found: 5000 },
      { station: 'gun-01', time: null, count: 1, found: 1000 },
      { station: 'gun-02', time: null, count: 1, found: null },
    ]);
  });
});

describe('readings of several files', () => {
  it('leave out times more than 5 years from the median of all files', () => {
    const year = (y: number) => `${y}-03-02T09:10:00Z,gun-01,1,2,1,p`;
    const table = read([
      `${HEAD}\n${year(2026)}\n${year(2020)}\n`,
      `${HEAD}\n${year(2032)}\n${year(2027)}\n${year(2031)}\n`,
    ]);
    // Median of 2020 2026 2027 2031 2032: 2027; 2031 is within 5 years of it.
    expect(summary(table)).toEqual([
      "file-1.csv: 2 rows, 1 unusable (1 more than 5 years from the files' median time, first on line 3)",
      "file-2.csv: 3 rows, 1 unusable (1 more than 5 years from the files' median time, first on line 2)",
    ]);
    expect([...table.frames('gun-01').times].map((ms) => new Date(ms).getUTCFullYear())).toEqual([2026, 2027, 2031]);
    expect(table.clockFacts).toEqual([
      { station: 'gun-01', time: Date.UTC(2026, 2, 2, 9), count: 2, found: Date.UTC(2020, 2, 2, 9, 10) },
    ]);
  });

  it('drop repeats and count conflicts, the first in order of files staying', () => {
    const table = read([
      `${HEAD}\n${T}1Z,gun-01,1,2,1,p\n${T}0Z,gun-01,1,2,1,p\n${T}1Z,gun-01,1,2,,\n`,
      `time,gun,conveying/flow,conveying/ripple\n${T}1Z,gun-01,2.0004,0.1\n${T}0Z,gun-01,2.5,0.2\n`,
    ]);
    expect(summary(table)).toEqual([
      'file-1.csv: 3 rows, 0 unusable; 2 readings repeated and dropped',
      'file-2.csv: 2 rows, 0 unusable; 1 reading repeated and dropped; 1 reading conflicts with an earlier one, first on line 3',
    ]);
    expect(rowsOf(table.frames('gun-01')).map(([, values]) => values)).toEqual([
      { 'conveying/pressure': 1, 'conveying/flow': 2, 'conveying/ripple': 0.2, trigger: 1, 'powder/id': 'p' },
      { 'conveying/pressure': 1, 'conveying/flow': 2, 'conveying/ripple': 0.1, trigger: 1, 'powder/id': 'p' },
    ]);
  });
});

describe('an unusable file', () => {
  it.each([
    ['', 'file-1.csv: found an empty file'],
    ['\n\r\n', 'file-1.csv: found an empty file'],
    ['gun,trigger\ngun-01,1\n', 'file-1.csv: line 1: time: found no such column in "gun,trigger"'],
    ['time,trigger\n1,1\n', 'file-1.csv: line 1: gun: found no such column'],
    [`time,gun,trigger,trigger\n`, 'line 1: trigger: found it twice, as "trigger" and "trigger"'],
    ['time,gun,conveying/flow,conveying/flow [L/min]\n', 'line 1: conveying/flow: found it twice'],
    ['time,gun,station,trigger\n', 'line 1: station: found it twice, as "gun" and "station"'],
    [
      'time,gun,conveying/flow [furlong]\n',
      'line 1: conveying/flow: found the unknown unit "furlong", expected one of m3/h',
    ],
    ['time,gun,conveying/flow [bar]\n', 'line 1: conveying/flow: found a unit of the wrong dimension "bar"'],
    ['time,gun,trigger [V]\n', 'line 1: trigger: found a unit of the wrong dimension "V", expected no unit'],
    ['time,gun,speed\n', 'line 1: header: found no channel in "time,gun,speed"'],
    ['time;gun;trigger\n1;gun-01;1\n', 'line 1: time: found no such column in "time;gun;trigger"'],
    [`${HEAD}\n`, 'file-1.csv: line 1: rows: found no usable row among 0'],
    [`${HEAD}\n${T}0Z,gun-99,1,2,1,p\n`, 'line 2: rows: found no usable row among 1 (1 unknown gun)'],
    [`${HEAD}\n${T}0Z,gun-01,,,,\n`, 'found no usable row among 1'],
    [Buffer.from('\ufefftime,gun', 'utf16le'), 'file-1.csv: found UTF-16 text, expected UTF-8'],
    ['"time,gun', 'found a quote that is never closed'],
    ['x'.repeat(70_000), 'found no line end for too long'],
    ['\u001b[2Jtime\u0007,gun\u0000\n', 'line 1: time: found no such column in "\ufffd[2Jtime\ufffd,gun\ufffd"'],
  ])('is refused with one line: %#', (text, expected) => {
    const message = fault(text);
    expect(message).toContain(expected);
    expect(message).not.toMatch(/\p{Cc}/u);
  });

  it('is named among several', () => {
    const good = `${HEAD}\n${T}0Z,gun-01,1,2,1,p\n`;
    expect(fault(good, 'time,gun,speed\n', good)).toContain('file-2.csv: line 1');
  });

  it('may be one whose rows are all far from the others', () => {
    const row = (year: number) => `${year}-03-02T09:10:00Z,gun-01,1,2,1,p\n`;
    expect(fault(`${HEAD}\n${row(2026)}${row(2025)}`, `${HEAD}\n${row(2040)}`)).toContain('file-2.csv: line 2: rows');
  });
});

describe('junk in a file', () => {
  it('costs one row where a quote is never closed', () => {
    const rows = Array.from(
      { length: 3000 },
      (_, index) => `${formatTime(Date.UTC(2026, 2, 2) + index)},gun-01,1,2,1,p`,
    );
    rows[10] = `${T}0Z,gun-01,1,2,1,"p`;
    const text = `${HEAD}\n${rows.join('\n')}\n`;
    for (const chunk of [997, 65_536, 1 << 20]) {
      const table = read([text], chunk);
      expect(summary(table)).toEqual(['file-1.csv: 3000 rows, 1 unusable (1 ragged, first on line 12)']);
    }
  });

  it('is given up after too many such quotes', () => {
    expect(fault(`${HEAD}\n${'x","\n'.repeat(60_000)}`)).toContain('quote that is never closed');
  });

  it.each([997, 65_536, 1 << 20])('costs one row where a line is too long, in chunks of %i', (chunk) => {
    const long = 'x'.repeat(200_000);
    const table = read([`${HEAD}\n${T}0Z,gun-01,1,2,1,p\n${long}\n${T}1Z,gun-01,1,2,1,p\n${long}`], chunk);
    expect(summary(table)).toEqual(['file-1.csv: 4 rows, 2 unusable (2 line too long, first on line 3)']);
    expect(table.frames('gun-01').times.length).toBe(2);
  });

  it('ends the file where no line end comes', () => {
    const readings = new CsvReadings(plans);
    readings.beginFile('endless.csv');
    readings.push(Buffer.from(`${HEAD}\n${T}0Z,gun-01,1,2,1,p\n`));
    const chunk = Buffer.alloc(1 << 20, 'x');
    expect(() => {
      for (let index = 0; index < 20; index++) readings.push(chunk);
    }).toThrow('endless.csv: line 3: found no line end for too long');
  });

  it('ends the command where rows or bytes are too many', () => {
    const rows = `${T}0Z,gun-01,1,2,1,p\n`.repeat(50);
    expect(() => read([`${HEAD}\n${rows}`], 1000, { ...CSV_LIMITS, rows: 49 })).toThrow('more than 49 rows');
    expect(() => read([`${HEAD}\n${rows}`], 1000, { ...CSV_LIMITS, bytes: 1000 })).toThrow('more than 1000 bytes');
    expect(read([`${HEAD}\n${rows}`], 1000, { ...CSV_LIMITS, rows: 50 }).reports[0]?.rows).toBe(50);
  });

  it('never crashes the reader, wherever the chunks end', () => {
    const piece = fc.oneof(
      fc.constantFrom(
        ...`time gun trigger conveying/flow , " \n \r\n gun-01 1 0 ${T}0Z 1772442600 - . e`.split(' '),
        '\n',
        '\r',
      ),
      fc.string({ unit: 'binary', maxLength: 3 }),
    );
    fc.assert(
      fc.property(
        fc.array(piece, { maxLength: 60 }),
        fc.integer({ min: 1, max: 50 }),
        fc.boolean(),
        (pieces, chunk, headed) => {
          const text = (headed ? `time,gun,trigger,conveying/flow\n${T}0Z,gun-01,1,2\n` : '') + pieces.join('');
          const outcome = (size: number): unknown => {
            try {
              const table = read([text], size);
              return [summary(table), table.stations.map((station) => rowsOf(table.frames(station)))];
            } catch (error) {
              expect(error).toMatchObject({ code: 'READINGS_UNUSABLE' });
              return (error as Error).message;
            }
          };
          expect(outcome(chunk)).toEqual(outcome(1 << 20));
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe('the byte-level reader', () => {
  const number = fc.oneof(
    fc.integer({ min: -20, max: 1600 }).map((n) => String(n / 100)),
    fc.double({ min: -1, max: 20, noNaN: true }).map(String),
    fc.constantFrom('', '-', '1e1', '17', ' 2', '+3', '00.5', '1.23456789012345678', '0x1', 'NaN'),
  );
  const quotable = (cell: string, how: number) =>
    how === 0 || /["\r\n,]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
  const at = Date.UTC(2026, 2, 2);
  const time = fc.oneof(
    fc.integer({ min: at, max: at + 5000 }).map(formatTime),
    fc.integer({ min: at, max: at + 5000 }).map((ms) => String(ms / 1000)),
    fc.constantFrom(
      '2026-03-02T01:00:00+01:00',
      '2026-03-02T00:00:00.5Z',
      '2026-03-02T00:00:00',
      '2026-02-30T00:00:00Z',
    ),
  );
  const row = fc.record({
    time,
    gun: fc.constantFrom('gun-01', 'gun-02', 'gun-03'),
    pressure: number,
    flow: number,
    trigger: fc.constantFrom('0', '1', '', '2', '1.0'),
    powder: fc.oneof(fc.constantFrom('p-1', '', 'a,b', 'say "x"'), fc.string({ maxLength: 5 })),
    quotes: fc.array(fc.nat(5), { minLength: 6, maxLength: 6 }),
  });

  it('reads what csv-parse reads', () => {
    fc.assert(
      fc.property(
        fc.array(row, { maxLength: 12 }),
        fc.constantFrom('\n', '\r\n'),
        fc.integer({ min: 1, max: 200 }),
        (rows, end, chunk) => {
          const first = { time: formatTime(at), gun: 'gun-01', pressure: '1', flow: '2', trigger: '1', powder: 'p' };
          const lines = [{ ...first, quotes: [1, 1, 1, 1, 1, 1] }, ...rows].map(({ quotes, ...cells }) =>
            [cells.time, cells.gun, cells.pressure, cells.flow, cells.trigger, cells.powder]
              .map((cell, index) => quotable(cell, quotes[index] as number))
              .join(','),
          );
          const text = `${HEAD}${end}${lines.join(end)}${end}`;
          const parsed: string[][] = parse(text, { relax_column_count: true, record_delimiter: end });
          const table = read([text], chunk);
          const expected = new Map<string, Map<number, Record<string, number | string>>>();
          let unusable = 0;
          for (const [timeText = '', gun = '', pressure = '', flow = '', trigger = '', powder = ''] of parsed.slice(
            1,
          )) {
            const ms = /^\d+(\.\d+)?$/.test(timeText)
              ? Math.round(Number(timeText) * 1000)
              : /(Z|\+01:00)$/.test(timeText) && !timeText.includes('-30T')
                ? Date.parse(timeText)
                : Number.NaN;
            if (Number.isNaN(ms) || gun === 'gun-03') {
              unusable++;
              continue;
            }
            const station = expected.get(gun) ?? new Map<number, Record<string, number | string>>();
            expected.set(gun, station);
            const values = station.get(ms) ?? {};
            const take = (
              name: string,
              cell: string,
              scale: number,
              decimals: number,
              low: number,
              high: number,
            ): void => {
              if (cell.trim() === '') return;
              const plain = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(cell.trim());
              const value = Math.round(Number(cell) * scale * 10 ** decimals) / 10 ** decimals + 0;
              if (!plain || value < low || value > high) unusable++;
              else values[name] ??= value;
            };
            const anr = 100_000 / 293.15 / (101_325 / 273.15);
            take('conveying/pressure', pressure, 1, 4, -0.2, 16);
            take(
              'conveying/flow',
              flow,
              gun === 'gun-02' ? anr : 1,
              3,
              gun === 'gun-02' ? -0.16 : -0.5,
              gun === 'gun-02' ? 8 : 50,
            );
            if (trigger === '2') unusable++;
            else if (trigger !== '') values.trigger ??= Number(trigger);
            if (/\p{Cc}/u.test(powder)) unusable++;
            else if (powder !== '') values['powder/id'] ??= powder;
            if (Object.keys(values).length > 0) station.set(ms, values);
          }
          const got = table.reports[0]?.unusable.reduce((sum, entry) => sum + entry.count, 0);
          expect(got).toBe(unusable);
          for (const [gun, station] of expected) {
            const want = [...station]
              .sort(([l], [r]) => l - r)
              .map(([ms, values]) => [new Date(ms).toISOString(), values]);
            expect(rowsOf(table.frames(gun))).toEqual(want);
          }
        },
      ),
      { numRuns: 400 },
    );
  });

  it('hands out the same in blocks as in one piece', () => {
    const rows = Array.from(
      { length: 40_000 },
      (_, index) => `${formatTime(at + index * 1000)},gun-01,${(index % 160) / 10},2,1,p`,
    );
    const table = readRows(...rows.reverse());
    const [times, pressures]: [number[], number[]] = [[], []];
    let blocks = 0;
    for (const block of table.blocks('gun-01')) {
      blocks++;
      times.push(...block.times);
      pressures.push(...(block.columns['conveying/pressure'] ?? []));
    }
    expect(blocks).toBeGreaterThan(2);
    expect(times).toEqual([...table.frames('gun-01').times]);
    expect(pressures).toEqual([...(table.frames('gun-01').columns['conveying/pressure'] ?? [])]);
  });
});

describe('writeReadings', () => {
  it('writes the contract’s form', () => {
    const table = readRows(`${T}0.25+00:00,gun-01,1.850,,1,"white, fine"`);
    expect(
      [
        ...writeReadings([table.frames('gun-01')], ['conveying/pressure', 'conveying/flow', 'powder/id', 'trigger']),
      ].join(''),
    ).toBe(
      'time,gun,conveying/pressure,conveying/flow,powder/id,trigger\n2026-03-02T09:10:00.250Z,gun-01,1.85,,"white, fine",1\n',
    );
  });

  it('writes what the reader reads back exactly', () => {
    const step = (most: number) => fc.option(fc.integer({ min: -100, max: most }), { nil: Number.NaN });
    const reading = fc.record({
      ms: fc.integer({ min: at, max: at + 10_000_000 }),
      pressure: step(160_000).map((n) => n / 10_000),
      flow: step(50_000).map((n) => n / 1000),
      mass: step(2_000_000).map((n) => n / 1000),
      trigger: fc.constantFrom(0, 1, Number.NaN),
      powder: fc.constantFrom(0, 1, 2, Number.NaN),
    });
    fc.assert(
      fc.property(fc.uniqueArray(reading, { selector: (one) => one.ms, minLength: 1, maxLength: 20 }), (unsorted) => {
        const rows = unsorted
          .filter((r) => ![r.pressure, r.flow, r.mass, r.trigger, r.powder].every(Number.isNaN))
          .sort((l, r) => l.ms - r.ms);
        fc.pre(rows.length > 0);
        const column = (key: keyof (typeof rows)[number]) => Float64Array.from(rows, (r) => r[key] + 0);
        const frames: Frames = {
          station: 'gun-01',
          times: column('ms'),
          columns: {
            'conveying/pressure': column('pressure'),
            'conveying/flow': column('flow'),
            'powder/mass': column('mass'),
            trigger: column('trigger'),
            'powder/id': column('powder'),
          },
          strings: ['p-white-07', ' a "quoted", one ', '粉'],
        };
        const table = read([[...writeReadings([frames])].join('')]);
        expect(summary(table)).toEqual([`file-1.csv: ${rows.length} rows, 0 unusable`]);
        expect(rowsOf(table.frames('gun-01'))).toEqual(rowsOf(frames));
      }),
    );
  });
});
const at = Date.UTC(2026, 2, 2);
