import { describe, expect, test } from 'vitest';
import type { Pack } from '../../../collector/contract/index.ts';
import { SiteClocks } from '../../../collector/intake/site-clocks.ts';

const NOW = Date.parse('2026-06-30T12:00:00Z');
const HOUR = 3_600_000;
const pack = (station: string, ...times: number[]): Pack => ({
  station,
  times,
  channels: times.map(() => 0),
  values: times.map(() => 1.5),
  strings: [],
  provenance: '',
});

describe('a clock ahead', () => {
  test('is known once five readings agree, and those that were held get their times then', () => {
    const clocks = new SiteClocks();
    for (let i = 0; i < 4; i++)
      expect(clocks.judgeImpossible(pack('gun-01', NOW + 2 * HOUR + 1000 * i), null, NOW + 1000 * i).packs).toEqual([]);
    const { packs, offsetMs, corrections } = clocks.judgeImpossible(
      pack('gun-01', NOW + 2 * HOUR + 4000),
      null,
      NOW + 4000,
    );
    expect(offsetMs).toBe(2 * HOUR);
    expect(packs.map(({ times }) => times[0])).toEqual([0, 1, 2, 3, 4].map((i) => NOW + 1000 * i));
    expect(corrections[4]).toEqual({
      station: 'gun-01',
      offsetMs: 2 * HOUR,
      from: NOW + 4000,
      to: NOW + 4000,
      readings: 1,
      receivedAt: NOW + 4000,
    });
  });

  test('gives a pack that comes twice the same times', () => {
    const clocks = new SiteClocks(new Map([['gun-01', 2 * HOUR]]));
    const first = clocks.judgeImpossible(pack('gun-01', NOW + 2 * HOUR), null, NOW + 400);
    const again = clocks.judgeImpossible(pack('gun-01', NOW + 2 * HOUR), null, NOW + 20_000);
    expect(again.packs).toEqual(first.packs);
  });

  test('that jumps is followed, and one that is right again is left alone', () => {
    const clocks = new SiteClocks();
    const five = (at: number) => [at, at + 1, at + 2, at + 3, at + 4];
    const judged = (at: number) => clocks.judgeImpossible(pack('gun-01', ...five(at)), null, NOW).offsetMs;
    expect([judged(NOW + HOUR), judged(NOW + HOUR)]).toEqual([0, HOUR + 4]);
    expect([judged(NOW + 9 * HOUR), judged(NOW + 9 * HOUR)]).toEqual([0, 9 * HOUR + 4]);
    const right = clocks.judge(pack('gun-01', NOW + 60_000), NOW + 60_000);
    expect(right).toMatchObject({ offsetMs: 0, corrections: [{ station: 'gun-01', offsetMs: 0 }] });
    expect(right?.packs[0]?.times).toEqual([NOW + 60_000]);
    expect(clocks.judge(pack('gun-01', NOW + 61_000), NOW + 61_000)).toBeNull();
  });

  test('beside readings whose times are right, impossible ones are junk of a line', () => {
    const clocks = new SiteClocks();
    for (let i = 0; i < 10; i++)
      expect(clocks.judgeImpossible(pack('gun-01', NOW + HOUR), pack('gun-01', NOW), NOW).packs).toEqual([]);
  });

  test('single times that cannot be true are junk of a line', () => {
    const clocks = new SiteClocks();
    for (let i = 1; i < 20; i++)
      expect(clocks.judgeImpossible(pack('gun-01', NOW + i * 977 * HOUR), null, NOW + 1000 * i).packs).toEqual([]);
  });
});

test('a clock that began in 1970 is corrected to when its readings came', () => {
  const clocks = new SiteClocks();
  const uptime = 1_000_000;
  const report = (at: number) =>
    clocks.judgeImpossible(pack('gun-01', ...[0, 1, 2, 3, 4].map((i) => uptime + at + 1000 * i)), null, NOW + at);
  expect(report(0).packs).toEqual([]);
  const made = report(10_000);
  expect(made.packs[0]?.times).toEqual([4, 3, 2, 1, 0].map((i) => NOW - 1000 * i));
  expect(made.packs[1]?.times).toEqual([4, 3, 2, 1, 0].map((i) => NOW + 10_000 - 1000 * i));
});

describe('a clock behind', () => {
  const run = (
    clocks: SiteClocks,
    { station = 'gun-01', behind = 2 * HOUR, every = 5000, packs = 20, speed = 1, from = NOW } = {},
  ): (number | undefined)[] =>
    Array.from({ length: packs }, (_, i) => {
      const at = from + i * every;
      return clocks.judge(pack(station, from - behind + speed * i * every), at)?.packs[0]?.times[0];
    });

  test('from the first day is known after a minute of fresh packs', () => {
    const times = run(new SiteClocks());
    expect(times.slice(0, 12)).toEqual(Array(12).fill(undefined));
    expect(times[12]).toBe(NOW + 60_000);
    expect(times[19]).toBe(NOW + 95_000);
  });

  test('is not suspected where stored readings come faster than they were made', () => {
    expect(run(new SiteClocks(), { speed: 3 })).toEqual(Array(20).fill(undefined));
    const clocks = new SiteClocks();
    const hours = Array.from({ length: 100 }, (_, i) => NOW - 6 * HOUR + i * 60_000);
    for (let i = 0; i < 20; i++)
      expect(clocks.judge(pack('gun-01', ...hours.map((time) => time + i * 5000)), NOW + i * 5000)).toBeNull();
  });

  test('is not suspected where a whole hall is replayed in real time', () => {
    const clocks = new SiteClocks();
    for (let i = 0; i < 30; i++)
      for (const station of ['gun-01', 'gun-02', 'gun-03'])
        expect(clocks.judge(pack(station, NOW - 1000 * HOUR + i * 5000), NOW + i * 5000)).toBeNull();
  });

  test('is known beside stations whose clocks are right', () => {
    const clocks = new SiteClocks();
    let corrected = 0;
    for (let i = 0; i < 30; i++) {
      expect(clocks.judge(pack('gun-02', NOW + i * 5000), NOW + i * 5000 + 300)).toBeNull();
      if (clocks.judge(pack('gun-01', NOW - HOUR + i * 5000), NOW + i * 5000 + 300)) corrected++;
    }
    expect(corrected).toBe(18);
  });
});
