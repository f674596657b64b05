import { expect, test } from 'vitest';
import type { StationNow, Store } from '../../../collector/index.ts';
import { stationCounters } from '../../../dashboard/service/station-counters.ts';

const NOW = Date.UTC(2026, 2, 2, 9);
const station = (id: string, ageMs: number | null, trigger: boolean | null, online: boolean | null): StationNow => {
  const time = ageMs === null ? null : NOW - ageMs;
  return {
    station: id,
    readings: trigger === null || time === null ? [] : [{ channel: 'trigger', time, receivedAt: time, value: trigger }],
    newestTime: time,
    newestReceivedAt: time,
    reportingIntervalMs: 1000,
    online,
  };
};
const all = [
  station('a', 500, true, true),
  station('b', 10_000, false, true),
  station('c', 10_001, true, false),
  station('d', null, null, null),
  station('e', 0, null, null),
];
const store = {
  readings: { repeats: () => [{ channel: 'conveying/flow', duplicates: 7, conflicts: 2 }], damaged: () => [] },
  runs: { damaged: () => [] },
  quarantine: { damaged: () => [] },
} as unknown as Store;

test('stations are counted by what they do and by what they said last, repeats by kind and channel', () => {
  const latest = (id: string): StationNow | null => all.find((one) => one.station === id) ?? null;
  const counters = stationCounters(
    { latest, store },
    all.map(({ station }) => station),
    NOW,
  );
  const shown = Object.fromEntries(
    counters.map(({ name, labels, value }) => [`${name} ${Object.values(labels).join(' ')}`, value]),
  );
  expect(shown).toEqual({
    'stations spraying': 1,
    'stations idle': 2,
    'stations silent': 1,
    'stations never': 1,
    'stations_online true': 2,
    'stations_online false': 1,
    'stations_online unknown': 2,
    'damaged_spans ': 0,
    'readings_repeated_total duplicate conveying/flow': 7,
    'readings_repeated_total conflict conveying/flow': 2,
  });
});
