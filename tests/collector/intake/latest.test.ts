import { describe, expect, test } from 'vitest';
import { channelIndex } from '../../../collector/contract/index.ts';
import { StationLatest } from '../../../collector/intake/latest.ts';

const PRESSURE = channelIndex('conveying/pressure');
const FLOW = channelIndex('conveying/flow');
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

  test('the reporting interval is learnt from reports as they come, by whether the gun sprays', () => {
    const latest = new StationLatest();
    const arrive = (time: number, trigger: number, late = 0): void =>
      latest.take(
        pack([
          [time, PRESSURE, 1],
          [time, TRIGGER, trigger],
        ]),
        time + late,
      );
    for (const time of [0, 2000, 4000]) arrive(time, 1);
    expect(latest.reportingIntervalMs()).toBe(2000);
    for (const time of [6000, 36_000, 66_000]) arrive(time, 0);
    expect(latest.reportingIntervalMs()).toBe(30_000);
    arrive(68_000, 1);
    expect(latest.reportingIntervalMs()).toBe(2000);
  });

  test('a gun without a trigger signal sprays, for its interval, where conveying air flows', () => {
    const latest = new StationLatest();
    const arrive = (time: number, flow: number): void => latest.take(pack([[time, FLOW, flow]]), time);
    for (const time of [0, 2000, 4000]) arrive(time, 3.3);
    for (const time of [6000, 8000]) arrive(time, 0.02);
    expect(latest.reportingIntervalMs()).toBe(20_000);
    for (const time of [53_000, 98_000]) arrive(time, 0.02);
    expect(latest.reportingIntervalMs()).toBe(45_000);
    const again = new StationLatest();
    again.restore({
      station: 'gun-01',
      times: Float64Array.of(0, 5000, 10_000, 15_000, 60_000, 105_000),
      columns: { 'conveying/flow': Float64Array.of(3, 3, Number.NaN, 0, 0, 0) },
      strings: [],
    });
    expect(again.reportingIntervalMs()).toBe(45_000);
  });

  test('what a node kept back says no more of its interval than how often it reads', () => {
    const latest = new StationLatest();
    for (let minute = 0; minute < 10; minute++) latest.take(pack([[minute * 60_000, PRESSURE, 1]]), 3_600_000);
    expect(latest.reportingIntervalMs()).toBe(60_000);
    // Its first fresh report, idle: it is no stranger, and idle nodes report slowly.
    latest.take(pack([[3_600_000, TRIGGER, 0]]), 3_600_000);
    expect(latest.reportingIntervalMs()).toBe(20_000);
  });

  test('an idle node whose first pack holds what it had stored is no stranger either', () => {
    const latest = new StationLatest();
    const rows = [0, 45_000, 90_000].map((time): [number, number, number] => [time, TRIGGER, 0]);
    latest.take(pack(rows), 91_000);
    expect(latest.reportingIntervalMs()).toBe(20_000);
    const live = new StationLatest();
    live.take(pack(rows.slice(2)), 91_000);
    expect(live.reportingIntervalMs()).toBeNull();
  });

  test('after a restart the stored readings tell the interval', () => {
    const latest = new StationLatest();
    latest.restore({
      station: 'gun-01',
      times: Float64Array.of(0, 5000, 10_000, 15_000, 60_000, 105_000),
      columns: { trigger: Float64Array.of(1, 1, 1, 0, 0, 0) },
      strings: [],
    });
    expect(latest.reportingIntervalMs()).toBe(45_000);
  });
});
