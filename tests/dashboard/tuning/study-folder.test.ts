import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { expect, test } from 'vitest';
import { studyFolder } from '../../../dashboard/service/study-folder.ts';
import { tempDir } from '../../collector/store/temp-dir.ts';
import { manualClock } from '../manual-clock.ts';

const HOUR_MS = 3_600_000;
const piece = (text: string): Readable => Readable.from([Buffer.from(text)]);

function opened() {
  const dir = tempDir();
  const clock = manualClock(0);
  const files = studyFolder(dir, 1000, 100, clock);
  return { clock, files, lying: () => readdirSync(join(dir, 'studies')) };
}

test('a bundle of which no piece comes for an hour is let go, whole or not, and the next piece of it is refused', async () => {
  const { clock, files, lying } = opened();
  const { id } = await files.begin('half.gz', 8, 'Anna');
  await files.append(id, 0, piece('half'));
  const { id: whole } = await files.begin('whole.gz', 5, 'Anna');
  await files.append(whole, 0, piece('whole'));
  clock.advance(HOUR_MS - 1);
  expect(lying()).toEqual([id, whole]);
  clock.advance(1);
  expect(lying()).toEqual([]);
  await expect(files.append(id, 4, piece('more'))).rejects.toThrow(
    /^there is no study bundle 1 on its way, and one of which nothing comes for an hour is let go; begin to send it anew$/,
  );
  expect(() => files.take(whole)).toThrow(/there is no study bundle 2/);
  expect(await files.begin('half.gz', 8, 'Anna')).toMatchObject({ id: '3', received: 0 });
});

test('each piece, and each time that it is announced again, begins the hour anew', async () => {
  const { clock, files, lying } = opened();
  const { id } = await files.begin('slow.gz', 4, 'Anna');
  for (let at = 0; at < 3; at++) {
    clock.advance(HOUR_MS - 1);
    expect(await files.append(id, at, piece('x'))).toMatchObject({ received: at + 1 });
  }
  clock.advance(HOUR_MS - 1);
  expect(await files.begin('slow.gz', 4, 'Anna')).toMatchObject({ id, received: 3 });
  clock.advance(HOUR_MS - 1);
  expect(lying()).toEqual([id]);
  clock.advance(1);
  expect(lying()).toEqual([]);
});

test('a piece that is on its way for long keeps its bundle, and one that was taken is nobody else’s to drop', async () => {
  const { clock, files, lying } = opened();
  const { id } = await files.begin('slow.gz', 4, 'Anna');
  const slow = new PassThrough();
  const appended = files.append(id, 0, slow);
  slow.write('wh');
  clock.advance(3 * HOUR_MS);
  expect(lying()).toEqual([id]);
  slow.end('ol');
  expect(await appended).toMatchObject({ received: 4 });
  const { file } = files.take(id);
  clock.advance(3 * HOUR_MS);
  expect(lying()).toEqual([id]);
  files.drop(file);
  expect(lying()).toEqual([]);
});

test('one that is let go by hand while a piece comes is not kept by that piece', async () => {
  const { clock, files, lying } = opened();
  const { id } = await files.begin('gone.gz', 4, 'Anna');
  const slow = new PassThrough();
  const appended = files.append(id, 0, slow);
  slow.write('wh');
  files.forget(id);
  slow.end('ol');
  await appended.catch(() => undefined);
  clock.advance(2 * HOUR_MS);
  expect(lying()).toEqual([]);
});
