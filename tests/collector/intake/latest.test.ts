import { describe, expect, test } from 'vitest';
import { channelIndex } from '../../../collector/contract/index.ts';
import { StationLatest } from '../../../collector/intake/latest.ts';

const PRESSURE = channelIndex('conveying/pressure');
const TRIGGER = channelIndex('trigger');
const POWDER = channelIndex('powder/id');
const pack = (rows: [time: number, channel: number, value: number][], strings: string[] = []) => ({
  station: 'gun-01',
  times: rows.map(([time]) => time),
  channels: rows.map(([, channel]) => channel),
  values: rows.map(([, , value]) => value),
  strings,
  provenance: '',
});

describe('latest readings', () => {
  test('are the newest by reading time, in whatever order they came', () => {
    const latest = new StationLatest();
    latest.take(
      pack([
        [2000, PRESSURE, 2.5],
        [3000, TRIGGER, 1],
      ]),
      10_000,
    );
    latest.take(
      pack(
        [
          [1000, PRESSURE, 9.9],
          [2500, POWDER, 0],
        ],
        ['white'],
      ),
      11_000,
    );
    expect(latest.readings()).toEqual([
      { channel: 'conveying/pressure', time: 2000, receivedAt: 10_000, value: 2.5 },
      { channel: 'powder/id', time: 2500, receivedAt: 11_000, value: 'white' },
      { channel: 'trigger', time: 3000, receivedAt: 10_000, value: true },
    ]);
    expect(latest.newestTime).toBe(3000);
    expect(latest.newestReceivedAt).toBe(10_000);
    expect(latest.heardAt).toBe(11_000);
  });

  test('of two readings for one time the first stays, as in the store', () => {
    const latest = new StationLatest();
    latest.take(pack([[1000, PRESSURE, 1]]), 1);
    latest.take(pack([[1000, PRESSURE, 2]]), 2);
    expect(latest.readings()[0]).toMatchObject({ value: 1, receivedAt: 1 });
  });

  test('the reporting interval is the median time between arrivals of newer readings', () => {
    const latest = new StationLatest();
    const arrive = (time: number, at: number): void => latest.take(pack([[time, PRESSURE, 1]]), at);
    arrive(1, 0);
    arrive(2, 2000);
    expect(latest.reportingIntervalMs()).toBeNull();
    arrive(3, 4000);
    expect(latest.reportingIntervalMs()).toBe(2000);
    arrive(3, 4001);
    arrive(1, 4002);
    expect(latest.reportingIntervalMs()).toBe(2000);
    arrive(4, 64_000);
    expect(latest.reportingIntervalMs()).toBe(2000);
    for (let turn = 0; turn < 40; turn++) arrive(10 + turn, 70_000 + 500 * turn);
    expect(latest.reportingIntervalMs()).toBe(500);
  });
});
