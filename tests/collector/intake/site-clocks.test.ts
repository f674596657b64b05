import { describe, expect, test } from 'vitest';
import type { Pack } from '../../../collector/contract/index.ts';
import { type Corrected, SiteClocks } from '../../../collector/intake/site-clocks.ts';
import type { ClockCorrection } from '../../../collector/store/clock-spans.ts';

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

test('readings that say of themselves that they were kept are corrected by what is known of the clock, and tell nothing of it', () => {
  const right = new SiteClocks();
  for (let i = 0; i < 20; i++)
    expect(right.judgeStored(pack('gun-01', NOW - HOUR + 10_000 * i), NOW + 10_000 * i)).toBe(null);
  expect(right.judge(pack('gun-01', NOW + 200_000), NOW + 200_000)).toBe(null);

  const behind = new SiteClocks(new Map([['gun-01', -HOUR]]));
  expect(behind.judgeStored(pack('gun-01', NOW - 5 * HOUR), NOW)).toMatchObject({
    offsetMs: -HOUR,
    packs: [{ times: [NOW - 4 * HOUR] }],
  });
});

describe('what is known of a clock that began at 1970', () => {
  const known = () => new SiteClocks(new Map([['gun-01', -NOW]]));
  const hourAgo = pack('gun-01', NOW - HOUR);

  test('is not taken off readings that were kept before, nor off a pack of many of them', () => {
    expect(known().judgeStored(hourAgo, NOW)).toBeNull();
    expect(known().judge(pack('gun-01', NOW - 3 * HOUR, NOW - HOUR), NOW)).toBeNull();
  });

  test('is not taken off right ones that come with those of 1970, and these are corrected', () => {
    const judged = known().judgeImpossible(pack('gun-01', 5000), hourAgo, NOW + 5000);
    expect(judged.packs.map(({ times }) => times)).toEqual([[NOW + 5000], [NOW - HOUR]]);
    expect(judged.corrections).toMatchObject([{ offsetMs: -NOW, readings: 1 }]);
  });

  test('ends with a pack of many whose newest is of now', () => {
    const judged = known().judge(pack('gun-01', NOW - HOUR, NOW), NOW);
    expect(judged).toMatchObject({ offsetMs: 0, packs: [{ times: [NOW - HOUR, NOW] }] });
  });

  test('is not taken off kept readings that it would put before 2000', () => {
    const ahead = new SiteClocks(new Map([['gun-01', 30 * 365 * 24 * HOUR]]));
    expect(ahead.judgeStored(hourAgo, NOW)).toBeNull();
  });
});

/** What is kept of packs in the end. */
class Kept {
  readonly corrections: ClockCorrection[] = [];
  readonly #clocks: SiteClocks;
  readonly #packs: Pack[] = [];
  #waiting = new Set<number>();

  constructor(clocks: SiteClocks) {
    this.#clocks = clocks;
  }

  take(one: Pack, receivedAt: number): void {
    const judged = this.#clocks.judge(one, receivedAt);
    if (judged === null) this.#packs.push(one);
    else this.end([judged]);
  }

  end(judged: readonly Corrected[]): void {
    for (const { packs, waits, settles = [], corrections } of judged) {
      this.#packs.push(...packs);
      this.corrections.push(...corrections.filter(({ offsetMs }) => offsetMs !== 0));
      for (const id of settles) expect(this.#waiting.delete(id)).toBe(true);
      if (waits !== undefined) this.#waiting.add(waits.id);
    }
  }

  get times(): number[] {
    return this.#packs.flatMap(({ times }) => times);
  }
}

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
  ): number[] => {
    const kept = new Kept(clocks);
    for (let i = 0; i < packs; i++) kept.take(pack(station, from - behind + speed * i * every), from + i * every);
    return kept.times;
  };

  test('from the first day is known after a minute of fresh packs, and those of that minute get their times too', () => {
    expect(run(new SiteClocks(), { packs: 12 })).toEqual([]);
    expect(run(new SiteClocks())).toEqual(Array.from({ length: 20 }, (_, i) => NOW + 5000 * i));
  });

  test('is not suspected where stored readings come faster than they were made', () => {
    const asTheyCame = Array.from({ length: 20 }, (_, i) => NOW - 2 * HOUR + 15_000 * i);
    expect(run(new SiteClocks(), { speed: 3 })).toEqual(asTheyCame);
    // Three packs tell.
    expect(run(new SiteClocks(), { speed: 3, packs: 3 })).toEqual(asTheyCame.slice(0, 3));
    const clocks = new SiteClocks();
    const hours = Array.from({ length: 100 }, (_, i) => NOW - 6 * HOUR + i * 60_000);
    for (let i = 0; i < 20; i++)
      expect(clocks.judge(pack('gun-01', ...hours.map((time) => time + i * 5000)), NOW + i * 5000)).toBeNull();
  });

  test('keeps no more than a few packs of a burst of stored readings waiting', () => {
    const clocks = new SiteClocks();
    // A second each, a thousand times as fast as they were made, as they come when a gateway has been cut off.
    const judged = Array.from({ length: 2000 }, (_, i) =>
      clocks.judge(pack('gun-01', NOW - 9 * HOUR + 1000 * i), NOW + i),
    );
    const waited = judged.filter((one) => one?.waits !== undefined);
    expect(waited.length).toBeLessThan(20);
    expect(judged.slice(20)).toEqual(Array.from({ length: 1980 }, () => null));
  });

  test('is not suspected where a whole hall is replayed in real time', () => {
    const kept = new Kept(new SiteClocks());
    for (let i = 0; i < 30; i++)
      for (const station of ['gun-01', 'gun-02', 'gun-03'])
        kept.take(pack(station, NOW - 1000 * HOUR + i * 5000), NOW + i * 5000);
    expect(new Set(kept.times)).toEqual(new Set(Array.from({ length: 30 }, (_, i) => NOW - 1000 * HOUR + i * 5000)));
    expect(kept.times).toHaveLength(90);
  });

  test('is known beside stations whose clocks are right', () => {
    const clocks = new SiteClocks();
    const kept = new Kept(clocks);
    for (let i = 0; i < 30; i++) {
      expect(clocks.judge(pack('gun-02', NOW + i * 5000), NOW + i * 5000 + 300)).toBeNull();
      kept.take(pack('gun-01', NOW - HOUR + i * 5000), NOW + i * 5000 + 300);
    }
    // What is off least was delayed least: all were, by as much.
    expect(kept.times).toEqual(Array.from({ length: 30 }, (_, i) => NOW + i * 5000 + 300));
  });

  test('that jumps back for less than a minute shows by times that were heard before', () => {
    const kept = new Kept(new SiteClocks());
    const at = (i: number): number => NOW + i * 5000;
    for (let i = 0; i < 100; i++) kept.take(pack('gun-01', i >= 40 && i < 46 ? at(i) - 120_000 : at(i)), at(i));
    expect(kept.times).toEqual(Array.from({ length: 100 }, (_, i) => at(i)));
    expect(kept.corrections).toHaveLength(6);
  });

  test('is no fault of a clock where the station was not heard at those times: they were stored', () => {
    const kept = new Kept(new SiteClocks());
    for (let i = 0; i < 40; i++) kept.take(pack('gun-01', NOW + i * 5000), NOW + i * 5000);
    const back = NOW + HOUR;
    for (let i = 0; i < 4; i++) kept.take(pack('gun-01', back - 0.5 * HOUR + i * 5000), back + i * 5000);
    kept.take(pack('gun-01', back + 20_000), back + 20_000);
    expect(kept.times.slice(40)).toEqual([0, 1, 2, 3].map((i) => back - 0.5 * HOUR + i * 5000).concat(back + 20_000));
    expect(kept.corrections).toEqual([]);
  });

  test('is known although its packs are some seconds under way', () => {
    const kept = new Kept(new SiteClocks());
    const delay = (i: number): number => ((i * 7) % 11) * 1000;
    for (let i = 0; i < 20; i++) kept.take(pack('gun-01', NOW - HOUR + i * 5000), NOW + i * 5000 + delay(i));
    expect(kept.corrections).toHaveLength(20);
    expect(kept.times).toEqual(Array.from({ length: 20 }, (_, i) => NOW + i * 5000));
  });

  test('that jumps on from one wrong time to another is followed', () => {
    const kept = new Kept(new SiteClocks());
    for (let i = 0; i < 40; i++) {
      const at = NOW + i * 5000;
      kept.take(pack('gun-01', at - (i < 20 ? HOUR : 3 * HOUR)), at);
    }
    expect(kept.times).toEqual(Array.from({ length: 40 }, (_, i) => NOW + i * 5000));
  });

  test('that is suspected by one pack alone is given up after a minute', () => {
    const clocks = new SiteClocks();
    const kept = new Kept(clocks);
    kept.take(pack('gun-01', NOW - HOUR), NOW);
    kept.end(clocks.expire(NOW + 60_000));
    expect(kept.times).toEqual([]);
    kept.end(clocks.expire(NOW + 66_000));
    expect(kept.times).toEqual([NOW - HOUR]);
  });
});
