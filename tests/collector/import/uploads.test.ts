import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterEach, expect, test } from 'vitest';
import { Uploads } from '../../../collector/import/uploads.ts';

const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
});

function made() {
  const dir = mkdtempSync(join(tmpdir(), 'driftline-uploads-'));
  folders.push(dir);
  const uploads = new Uploads(dir);
  uploads.create('1');
  return uploads;
}

const half = { id: '1', file: 'week 12.csv', bytes: 4 };

test('pieces are added to what is here', async () => {
  const uploads = made();
  await uploads.append(half, 0, Readable.from([Buffer.from('wh')]), 10);
  await uploads.append(half, 2, Readable.from([Buffer.from('ol')]), 10);
  expect(readFileSync(uploads.path('1'), 'utf8')).toBe('whol');
});

test('a file that is let go before its piece is written is not made anew by it', async () => {
  const uploads = made();
  uploads.delete('1');
  await expect(uploads.append(half, 0, Readable.from([Buffer.from('wh')]), 10)).rejects.toMatchObject({
    code: 'NOT_FOUND',
    message: 'week 12.csv: it was let go while a piece of it was on its way; begin to send it anew',
  });
  expect(existsSync(uploads.path('1'))).toBe(false);
});
