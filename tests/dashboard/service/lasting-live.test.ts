import { expect, test } from 'vitest';
import type { Live, LiveUpdate } from '../../../analyzer/index.ts';
import { AppError } from '../../../collector/contract/index.ts';
import { silentLog } from '../../../collector/log.ts';
import { lastingLive } from '../../../dashboard/service/lasting-live.ts';

const full = () => new AppError('DISK_FULL', 'driftline.db: the disk is full');

/** An analysis that ends when it is told to. */
function fakeLive() {
  let end: (fault: Error | null) => void = () => undefined;
  let listener: (update: LiveUpdate) => void = () => undefined;
  const ended = new Promise<void>((resolve, reject) => {
    end = (fault) => (fault === null ? resolve() : reject(fault));
  });
  ended.catch(() => undefined);
  const live: Live = {
    notify: () => undefined,
    logChanged: () => undefined,
    clocksReported: () => undefined,
    latest: null,
    onUpdate: (one) => {
      listener = one;
      return () => undefined;
    },
    settled: async () => undefined,
    stop: () => {
      end(null);
      return ended;
    },
    ended,
  };
  return { live, end, update: (update: LiveUpdate) => listener(update) };
}

/** Starts in turn: each is an analysis or a fault. */
function starts(...results: readonly (ReturnType<typeof fakeLive> | Error)[]) {
  let next = 0;
  return async (): Promise<Live> => {
    const result = results[next++]!;
    if (result instanceof Error) throw result;
    return result.live;
  };
}

const update = { asOf: null, settled: true, views: [], jobs: [], findings: [] } satisfies LiveUpdate;

test('an analysis that a full disk ended is started anew until it can, and its updates arrive as before', async () => {
  const [first, second] = [fakeLive(), fakeLive()];
  const live = await lastingLive(starts(first, full(), full(), second), silentLog, 1);
  const seen: LiveUpdate[] = [];
  live.onUpdate((one) => seen.push(one));
  first.update(update);
  first.end(full());
  await expect
    .poll(() => {
      second.update(update);
      return seen.length;
    })
    .toBeGreaterThan(1);
  await live.stop();
  await live.ended;
});

test('a listener that fails is logged, and those after it are told', async () => {
  const first = fakeLive();
  const faults: string[] = [];
  const log = { ...silentLog, error: (fields: object) => void faults.push(JSON.stringify(fields)) };
  const live = await lastingLive(starts(first), log, 1);
  const seen: LiveUpdate[] = [];
  live.onUpdate(() => {
    throw new Error('no room for the view');
  });
  live.onUpdate((one) => seen.push(one));
  first.update(update);
  first.update(update);
  expect(seen).toEqual([update, update]);
  expect(faults).toEqual([expect.stringContaining('no room for the view'), expect.anything()]);
  await live.stop();
});

test('any other fault ends it', async () => {
  const first = fakeLive();
  const live = await lastingLive(starts(first), silentLog, 1);
  first.end(new AppError('INTERNAL', 'a fault of our own'));
  await expect(live.ended).rejects.toMatchObject({ code: 'INTERNAL' });
  await expect(live.stop()).rejects.toMatchObject({ code: 'INTERNAL' });
});

test('a fault of the first start is the caller’s', async () => {
  await expect(lastingLive(starts(full()), silentLog, 1)).rejects.toMatchObject({ code: 'DISK_FULL' });
});

test('it stops at once while it waits for room', async () => {
  const first = fakeLive();
  const live = await lastingLive(starts(first), silentLog, 60_000);
  first.end(full());
  await new Promise(setImmediate);
  await live.stop();
});
