import { closeSync, openSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { WalSync } from '../../../collector/store/wal-sync.ts';
import { tempDir } from './temp-dir.ts';

/** A log's sync on a disk that takes so long for each. */
function onDisk(syncMs: number): { walSync: WalSync; durable: number[] } {
  const file = join(tempDir(), 'store.db');
  closeSync(openSync(`${file}-wal`, 'w'));
  let now = 0;
  const walSync = new WalSync(file, () => {
    now += syncMs;
    return now;
  });
  return { walSync, durable: [] };
}

describe('the log of commits', () => {
  test('is waited for on a quick disk', () => {
    const { walSync, durable } = onDisk(0.1);
    for (let seq = 1; seq <= 20; seq++) {
      const before = durable.length;
      let wereDurable = -1;
      walSync.sync(
        seq,
        () => {
          wereDurable = durable.length;
        },
        (upTo) => durable.push(upTo),
      );
      expect(wereDurable).toBe(before);
      expect(durable.at(-1)).toBe(seq);
      expect(walSync.free).toBe(true);
    }
    walSync.close();
  });

  test('is synced beside the next commits on a slow one, four at a time, and all end durable in order', async () => {
    const { walSync, durable } = onDisk(10);
    let seq = 0;
    const ways: boolean[] = [];
    const next = (): void =>
      walSync.sync(
        ++seq,
        () => ways.push(walSync.free),
        (upTo) => durable.push(upTo),
      );
    // The first ones are waited for until it is known how slow the disk is.
    while (durable.length === seq) next();
    const known = durable.length;
    expect(known).toBeLessThan(10);
    expect(walSync.free).toBe(true);
    for (let more = 1; more < 4; more++) next();
    expect(walSync.free).toBe(false);
    // Each knows whether another may come: the last one does not want it.
    expect(ways).toEqual([...Array(known + 3).fill(true), false]);
    while (durable.length < seq) await new Promise(setImmediate);
    expect(walSync.free).toBe(true);
    expect(durable).toEqual([...durable].sort((a, b) => a - b));
    expect(durable.at(-1)).toBe(seq);
    walSync.close();
  });

  test('that is not there is said at once', () => {
    const walSync = new WalSync(join(tempDir(), 'none.db'), () => 0);
    const ignore = (): void => undefined;
    expect(() => walSync.sync(1, ignore, ignore)).toThrow('ENOENT');
  });
});
