import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CHANNEL_NAMES } from '../../../collector/contract/index.ts';
import { parsePlant } from '../../../collector/files/plant.ts';
import { readPlant, readReadings, summaryLine } from '../../../collector/index.ts';

const plant = parsePlant('site: { id: h, timezone: UTC }\nguns: [{ id: gun-01 }]\n');
const HEAD = 'time,gun,conveying/flow,trigger\n';
const row = (second: number): string => `${1_772_442_600 + second},gun-01,3.25,1\n`;
const fixture = (name: string): string => new URL(`fixtures/${name}`, import.meta.url).pathname;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'driftline-readings-'));
});
afterAll(() => rmSync(folder, { recursive: true }));
const write = (name: string, content: string | Buffer): string => {
  const file = join(folder, name);
  writeFileSync(file, content);
  return file;
};
const fault = async (file: string): Promise<string> => {
  try {
    await readReadings([file], plant);
  } catch (error) {
    expect(error).toMatchObject({ code: 'READINGS_UNUSABLE' });
    return (error as Error).message;
  }
  throw new Error('expected a fault');
};

describe('readReadings', () => {
  it('reads plain and gzip files, of several members too, whatever their names', async () => {
    const packed = Buffer.concat([gzipSync(HEAD + row(0)), gzipSync(row(1)), gzipSync(''), gzipSync(row(2))]);
    const files = [write('packed.csv', packed), write('plain.csv.gz', HEAD + row(3))];
    const table = await readReadings(files, plant);
    expect(table.frames('gun-01').times.length).toBe(4);
    expect(table.reports.map((report) => report.rows)).toEqual([3, 1]);
  });

  it('takes zero bytes after the last gzip member for padding, as gzip itself does, but nothing else', async () => {
    const packed = gzipSync(HEAD + row(0));
    const padded = (name: string, bytes: number) => write(name, Buffer.concat([packed, Buffer.alloc(bytes)]));
    for (const bytes of [1, 200, 1_000_000]) {
      expect((await readReadings([padded('padded.gz', bytes)], plant)).frames('gun-01').times.length).toBe(1);
    }
    const more = write('more.gz', Buffer.concat([packed, Buffer.alloc(300_000), gzipSync(row(1))]));
    expect(await fault(more)).toContain('found other data after the gzip data, expected whole gzip data');
  });

  it('accounts for every row of exports from a plant that is not ours', async () => {
    const files = [fixture('plant-export-a.csv'), fixture('plant-export-b.csv')];
    const exported = await readPlant(fixture('plant-export.yaml'));
    const table = await readReadings(files, exported);
    for (const [index, file] of files.entries()) {
      const rows: Record<string, string>[] = parse(readFileSync(file), { columns: true });
      expect(table.reports[index]).toMatchObject({ rows: rows.length, conflicting: 0 });
      for (const cells of rows) {
        const { time = '', gun = '' } = cells;
        const ms = /^\d+(\.\d+)?$/.test(time) ? Math.round(Number(time) * 1000) : Date.parse(time);
        const { times, columns, strings } = table.frames(gun);
        const at = times.indexOf(ms);
        expect(at).toBeGreaterThanOrEqual(0);
        for (const name of CHANNEL_NAMES) {
          const kPa = cells[`${name} [kPa]`];
          const cell = kPa ?? cells[name] ?? '';
          if (cell === '') continue;
          const value = columns[name]?.[at] ?? Number.NaN;
          if (name === 'powder/id') expect(strings[value]).toBe(cell);
          else if (gun === 'gun-06' && name === 'conveying/flow') expect(value).toBeCloseTo(Number(cell) * 0.91959, 3);
          else expect(value).toBeCloseTo(Number(cell) * (kPa === undefined ? 1 : 0.01), 9);
        }
      }
    }
    expect(table.reports.map(summaryLine).join('\n')).toMatch(/plant-export-a\.csv: 120 rows/);
  });

  it.each([
    ['a missing file', () => join(folder, 'nowhere.csv'), 'found no such file, expected a CSV file, plain or gzip'],
    ['a directory', () => folder, 'found a directory'],
    ['an empty file', () => write('empty.csv', ''), 'found an empty file'],
    ['an empty gzip file', () => write('empty.csv.gz', gzipSync('')), 'found an empty file'],
    [
      'gzip data cut short',
      () => write('cut.gz', gzipSync(HEAD + row(0)).subarray(0, 45)),
      'found gzip data that ends too early',
    ],
    ['corrupt gzip data', () => write('corrupt.gz', corrupted()), 'found corrupt gzip data'],
    ['a zip archive', () => write('a.zip', Buffer.from('PK\u0003\u0004rest')), 'found a zip archive'],
    [
      'binary junk',
      () => write('junk.csv', Buffer.from(Array.from({ length: 5000 }, (_, i) => (i * 7919) % 251))),
      'time: found no such column',
    ],
    ['NUL bytes', () => write('nul.csv', Buffer.alloc(1_000_000)), 'found no line end for too long'],
    [
      'a path through a file',
      () => join(write('plain.csv', HEAD), 'x.csv'),
      'found a path through something that is no directory',
    ],
  ])('refuses %s with one line', async (_, file, expected) => {
    const line = await fault(file());
    expect(line).toContain(expected);
    expect(line).not.toMatch(/\p{Cc}/u);
  });

  const corrupted = (): Buffer => {
    const bytes = gzipSync(HEAD + Array.from({ length: 500 }, (_, index) => row(index * 37)).join(''));
    bytes.writeUInt32LE(0, bytes.length - 8);
    return bytes;
  };

  it('names the file, and keeps control characters of its name to itself', async () => {
    mkdirSync(join(folder, 'odd'));
    const line = await fault(write('odd/a\u001b[2J\n.csv', 'x\n'));
    expect(line).toContain('/odd/a\ufffd[2J\ufffd.csv: line 1: time: found');
  });

  it('refuses files that unpack into hundreds of megabytes, quickly and in little memory', async () => {
    const bomb = (name: string, block: Buffer): string => {
      const member = gzipSync(block, { level: 9 });
      return write(name, Buffer.concat([gzipSync(HEAD + row(0)), ...Array.from({ length: 400 }, () => member)]));
    };
    const endless = bomb('endless.gz', Buffer.alloc(1 << 20, '7'));
    const blank = bomb('blank.gz', Buffer.alloc(1 << 20, '\n'));
    const same = bomb('same.gz', Buffer.from(row(1).repeat(35_000)));
    const before = process.memoryUsage().rss;
    const started = performance.now();
    expect(await fault(endless)).toContain('line 3: found no line end for too long');
    expect(await fault(blank)).toContain('found data that grows more than 200 times');
    expect(await fault(same)).toContain('found data that grows more than 200 times');
    expect(performance.now() - started).toBeLessThan(20_000);
    expect(process.memoryUsage().rss - before).toBeLessThan(600_000_000);
  }, 60_000);
});
