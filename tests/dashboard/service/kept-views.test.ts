import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { GunView } from '../../../analyzer/index.ts';
import { AppError } from '../../../collector/contract/index.ts';
import type { Store } from '../../../collector/index.ts';
import { ViewsKeeper } from '../../../dashboard/service/kept-views.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('a store that cannot be written to is told of, and what was to be kept is tried again', async () => {
  const kept: string[] = [];
  const warned: string[] = [];
  let locked = true;
  const put = (key: string): void => {
    if (locked) throw new AppError('STORE_LOCKED', 'driftline.db: another program kept it locked for too long');
    kept.push(key);
  };
  const say = (): void => undefined;
  const keeper = new ViewsKeeper({ states: { put } } as unknown as Store, {
    info: say,
    warn: (fields) => void warned.push(JSON.stringify(fields)),
    error: say,
  });
  keeper.update([{} as GunView]);
  vi.advanceTimersByTime(60_000);
  expect(warned).toEqual([expect.stringContaining('kept it locked')]);
  locked = false;
  vi.advanceTimersByTime(60_000);
  expect(kept).toEqual(['views']);
  await keeper.stop();
  expect(kept).toHaveLength(1);
});
