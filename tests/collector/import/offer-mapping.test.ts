import { expect, test } from 'vitest';
import { Plant } from '../../../collector/contract/index.ts';
import { offerMapping } from '../../../collector/import/offer-mapping.ts';

const plant = Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] });
const offered = (text: string | Buffer) => offerMapping(Buffer.from(text as string), 'logger.csv', plant);

test('a clock of twice twelve hours stands beside a date whose month comes first', () => {
  const rows = (clock: string): string => `Date,Time,Pressure\n10/01/2026,${clock},1.6\n10/02/2026,${clock},1.6\n`;
  expect(offered(rows('6:00:02 AM')).time?.format).toBe('MM/dd/yyyy h:mm:ss a');
  expect(offered(rows('06:00:02')).time?.format).toBe('dd/MM/yyyy HH:mm:ss');
});

test('days of a spreadsheet are offered as such, and whole numbers are not taken for them', () => {
  const rows = (...times: string[]): string => `Zeit;Druck [bar]\n${times.map((time) => `${time};1,5\n`).join('')}`;
  const days = { column: 'Zeit', as: 'sheet-days', zone: 'Europe/Vienna' };
  expect(offered(rows('46319,25', '46319,2500231', '46320', '46320,5')).time).toEqual(days);
  expect(offered(rows('46319', '46320')).time).not.toMatchObject({ as: 'sheet-days' });
  expect(offered(rows('12319.25', '12320.5')).time).not.toMatchObject({ as: 'sheet-days' });
});

test('columns of one heading are offered by their numbers', () => {
  const { headings, columns } = offered('Zeit;Druck [bar];Druck [bar];Luft [m3/h]\n01.03.2026 06:00:00;1,5;1,6;2,4\n');
  expect(headings).toEqual(['Zeit', 'Druck [bar] (1)', 'Druck [bar] (2)', 'Luft [m3/h]']);
  expect(columns.map(({ column }) => column)).toEqual(headings.slice(1));
  expect(columns.map(({ unit }) => unit)).toEqual(['bar', null, 'm3/h']);
});

test('the decimal mark is offered where a number shows it, and is left to say where all may be read either way', () => {
  const rows = (...cells: string[]): string =>
    `Zeit;Druck [hPa]\n${cells.map((cell) => `01.03.2026 06:00:00;${cell}\n`).join('')}`;
  const mark = (text: string): unknown => [offered(text).decimal, offered(text).eitherWay];
  expect(mark(rows('1 501,5', '900'))).toEqual([',', null]);
  expect(mark(rows('1\u202f501,5', '1\u00a0501'))).toEqual([',', null]);
  expect(mark(rows('1,501', '12,250'))).toEqual([null, '1,501']);
  expect(mark(rows('1.501', '1502'))).toEqual([null, '1.501']);
  // A nought before the mark, other digits than three, or a second mark decide for the whole column.
  expect(mark(rows('1,501', '0,012'))).toEqual([',', null]);
  expect(mark(rows('1.501', '1.50'))).toEqual(['.', null]);
  expect(mark(rows('1,501', '1,501.5'))).toEqual(['.', null]);
  expect(mark(rows('1.501.000', '1.501'))).toEqual([',', null]);
  expect(mark(rows('1501'))).toEqual(['.', null]);
  // Between commas a point is the usual mark; a comma inside of a cell is quoted.
  const quoted = (cell: string): string => `time,Pressure [kPa]\n2026-03-01T06:00:00Z,${cell}\n`;
  expect(mark(quoted('151.501'))).toEqual(['.', null]);
  expect(mark(quoted('"151,5"'))).toEqual([',', null]);
  expect(mark(quoted('"151,501"'))).toEqual([null, '151,501']);
});

test('what is no text, or UTF-16 with its big end first, is refused in one sentence', () => {
  const bigEnd = Buffer.from('\ufefftime,gun\n', 'utf16le').swap16();
  expect(() => offered(bigEnd)).toThrow('logger.csv: found UTF-16 with its big end first, expected CSV in UTF-8');
  expect(() => offered(Buffer.from([1, 2, 0, 44, 10]))).toThrow('logger.csv: found bytes that are no text');
  const smallEnd = offered(Buffer.from('\ufefftime,gun\n', 'utf16le'));
  expect([smallEnd.encoding, smallEnd.headings]).toEqual(['utf-16le', ['time', 'gun']]);
});
