import { expect, test } from 'vitest';
import { StationLatest } from '../../../collector/intake/latest.ts';
import { StationsNow } from '../../../collector/intake/stations-now.ts';
import { openStore } from '../../../collector/store/embedded.ts';
import { startWriter } from '../../../collector/store/writer.ts';
import { tempDir } from '../store/temp-dir.ts';
import { NOW } from './collector-under-test.ts';

const pack = (...times: number[]) => ({
  station: 'gun-01',
  times,
  channels: times.map(() => 0),
  values: times.map((_, index) => 1 + index / 4),
  strings: [],
  provenance: '',
});

/** What a start finds: a gun that had sent two readings and said that it is there, and one that was never heard. */
async function found() {
  const dir = tempDir();
  const writer = await startWriter(dir);
  await writer.commit({
    packs: [pack(NOW - 20_000, NOW - 10_000)],
    online: [{ station: 'gun-01', online: true, at: NOW - 20_000 }],
  });
  await writer.settle();
  await writer.stop();
  return openStore(dir);
}

test('a start finds each station’s last time and state; its newest readings come back with the first look, once', async () => {
  const store = await found();
  const stations = new StationsNow(store);
  expect([...stations.lastTimes]).toEqual([['gun-01', NOW - 10_000]]);
  expect(stations.online).toEqual([{ station: 'gun-01', online: true, at: NOW - 20_000 }]);

  const latest = new StationLatest();
  expect(stations.look('gun-01', latest)).toMatchObject({
    station: 'gun-01',
    readings: [{ channel: 'conveying/pressure', time: NOW - 10_000, value: 1.25 }],
    newestTime: NOW - 10_000,
    online: true,
  });
  expect(stations.lastTimes.size).toBe(0);
  // The store is not asked again.
  store.close();
  expect(stations.look('gun-01', latest).newestTime).toBe(NOW - 10_000);
});

test('readings since the start are not replaced by those of before', async () => {
  const store = await found();
  const stations = new StationsNow(store);
  const latest = new StationLatest();
  latest.take(pack(NOW), NOW + 300);
  expect(stations.look('gun-01', latest)).toMatchObject({
    readings: [{ channel: 'conveying/pressure', time: NOW, receivedAt: NOW + 300, value: 1 }],
    newestTime: NOW,
    newestReceivedAt: NOW + 300,
  });
  store.close();
});

test('a node’s newest word of itself holds; of a station that was never heard nothing is said', async () => {
  const store = await found();
  const stations = new StationsNow(store);
  const nothing = { newestTime: null, newestReceivedAt: null, reportingIntervalMs: null, readings: [] };
  expect(stations.look('gun-02', new StationLatest())).toEqual({ station: 'gun-02', ...nothing, online: null });
  stations.said([
    { station: 'gun-01', online: false, at: NOW },
    { station: 'gun-02', online: true, at: NOW },
  ]);
  expect(stations.look('gun-01', new StationLatest()).online).toBe(false);
  expect(stations.look('gun-02', new StationLatest())).toEqual({ station: 'gun-02', ...nothing, online: true });
  expect(stations.online).toHaveLength(2);
  store.close();
});
