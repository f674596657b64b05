import { describe, expect, it } from 'vitest';
import { Feed } from '../../../simulators/publish/feed.ts';
import { LogFeed } from '../../../simulators/publish/log-feed.ts';
import { runHall } from '../../../simulators/simulation.ts';
import { smallHall } from '../small-hall.ts';

const TRANSPORT = { lost: 0, twice: 0, late: 0.1 };

describe('a feed', () => {
  it('hands out every report once, not before its time, late ones after their gap', () => {
    const hall = smallHall({ weeks: 1, transport: TRANSPORT });
    const feed = new Feed(hall, hall.work.days);
    let counted = 0;
    let early = 0;
    let disordered = 0;
    const newest = new Map<string, number>();
    for (let time = hall.work.span.start; !feed.ended; time += 1_800_000)
      for (const { station, sent, places } of feed.take(time))
        for (const place of places) {
          counted++;
          const truth = sent.frames.times[sent.rows[place]!]!;
          if (truth >= time) early++;
          if (truth < (newest.get(station) ?? 0)) disordered++;
          newest.set(station, Math.max(truth, newest.get(station) ?? 0));
        }
    let all = 0;
    for (const { sent } of runHall(smallHall({ weeks: 1, transport: TRANSPORT })))
      for (const { rows } of sent) all += rows.length;
    expect(counted).toBe(all);
    expect(early).toBe(0);
    expect(disordered).toBeGreaterThan(10);
  });

  it('hands out the log in order and not before its time', () => {
    const hall = smallHall();
    const feed = new Feed(hall, hall.work.days);
    const log = new LogFeed(hall);
    const told: number[] = [];
    for (let time = hall.work.span.start; !feed.ended; time += 3_600_000) {
      feed.take(time);
      for (const entry of log.take(time)) {
        expect(entry.time).toBeLessThanOrEqual(time);
        told.push(entry.time);
      }
    }
    expect(told).toHaveLength(hall.guns.flatMap(({ maintenance }) => maintenance.log).length);
    expect(told.length).toBeGreaterThan(3);
  });
});
