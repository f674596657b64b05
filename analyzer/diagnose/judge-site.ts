import type { Finding, Plant } from '../../collector/contract/index.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import type { StationFact } from '../site.ts';
import { clear, type FindingBook, findOpen, type Judgement, raise, update } from './finding-book.ts';

/** What several guns share, looked at once a tick. */
export interface SiteBench {
  readonly plant: Plant;
  readonly guns: Readonly<Record<string, GunMemory>>;
  readonly book: FindingBook;
  readonly now: number;
  readonly told: Finding[];
}

const HOUR = 3_600_000;
/** Drop of the inlet pressure that counts, and where it counts as back, bar. Source: own choice, above the swing of a compressor's band. */
const DROP_BAR = 0.4;
const BACK_BAR = 0.2;

/** Follows the inlet pressure of one gun: now (half an hour) against usual (ten days). */
export function followSupply(memory: GunMemory, supplyBar: number, time: number, hours: number): void {
  if (!Number.isFinite(supplyBar)) return;
  const { supply } = memory;
  if (supply.blocks === 0) {
    supply.mean = supplyBar;
    supply.now = supplyBar;
  }
  supply.blocks++;
  supply.time = time;
  const quick = Math.min(1, hours / 0.4);
  supply.now += quick * (supplyBar - supply.now);
  const off = supplyBar - supply.mean;
  const slow = Math.max(1 / supply.blocks, Math.min(1, hours / 20));
  // A drop must not become the usual before someone has looked: it pulls a quarter as hard.
  supply.mean += slow * (off < -DROP_BAR / 2 && supply.blocks > 20 ? 0.25 : 1) * off;
}

/** Supply air: most guns of a line have lost inlet pressure at the same time. */
export function judgeSupply(bench: SiteBench): void {
  const { plant, guns, book, now, told } = bench;
  const lines = new Map<string, GunMemory[]>();
  for (const gun of plant.guns) {
    const memory = guns[gun.id];
    if (memory === undefined || memory.supply.blocks < 20 || now - memory.supply.time > 2 * HOUR) continue;
    const line = gun.supply ?? '';
    lines.set(line, [...(lines.get(line) ?? []), memory]);
  }
  for (const [line, members] of lines) {
    const drops = members.map(({ supply }) => supply.mean - supply.now);
    const low = members.filter((_, i) => drops[i]! > DROP_BAR);
    const subject = `supply:${line}`;
    const open = findOpen(book, null, subject);
    const median = drops.slice().sort((a, b) => a - b)[drops.length >> 1]!;
    const verdict: Judgement = {
      category: 'out-of-specification',
      candidates: [{ cause: 'supply-air', probability: 0.95 }],
      excessAir: null,
      remaining: null,
      evidence: [
        `inlet pressure of ${low.length} of ${members.length} guns ${median.toFixed(1)} bar below the usual at the same time`,
      ],
    };
    if (open !== undefined) {
      if (median < BACK_BAR) clear(book, open, now, now / HOUR, 'inlet pressure is back', told);
      else {
        // A line's pressure falls for all, but each gun tells of it with its own next runs.
        open.guns = plant.guns.flatMap(({ id }) =>
          open.guns?.includes(id) || low.some((member) => member.id === id) ? [id] : [],
        );
        update(open, verdict, now, now / HOUR, told);
      }
    } else if (low.length >= 2 && low.length >= 0.6 * members.length)
      raise(
        book,
        {
          gun: null,
          guns: low.map(({ id }) => id),
          cause: 'supply-air',
          subject,
          onset: now,
          now,
          sprayHours: now / HOUR,
        },
        verdict,
        told,
      );
  }
}

/** Facts of sensors, clocks and missing air of one station: those that are known and hold at `now`. */
export function judgeFacts(bench: SiteBench, station: string, facts: readonly StationFact[], sprayHours: number): void {
  const { book, now, told } = bench;
  const holding = new Map<string, { cause: string; onset: number; failure: boolean; evidence: string }>();
  for (const fact of facts) {
    if (fact.kind === 'silence')
      holding.set('silence', {
        cause: 'no-data',
        onset: fact.time,
        failure: false,
        evidence: 'no reading for 30 minutes while others of the site report',
      });
    if (fact.kind === 'stuck')
      holding.set(`stuck:${fact.channel}`, {
        cause: `sensor:${fact.channel}`,
        onset: fact.time,
        failure: false,
        evidence: `${fact.channel} has kept one value while the others moved`,
      });
    if (fact.kind === 'range' && fact.count >= RANGE_COUNT)
      holding.set(`range:${fact.channel}`, {
        cause: `sensor:${fact.channel}`,
        onset: fact.time,
        failure: false,
        evidence: `${fact.count} readings of ${fact.channel} within an hour lie outside what the sensor can measure`,
      });
    if (fact.kind === 'clock')
      holding.set('clock', { cause: 'sensor:clock', onset: fact.time, failure: false, evidence: fact.detail });
    if (fact.kind === 'no-air')
      holding.set('no-air', {
        cause: 'supply-air',
        onset: fact.time,
        failure: true,
        evidence: 'trigger on, but no conveying air flows',
      });
  }
  for (const [subject, { cause, onset, failure, evidence }] of holding) {
    const open = findOpen(book, station, subject);
    const verdict: Judgement = {
      category: failure ? 'failure' : 'function-check',
      candidates: [{ cause, probability: 0.9 }],
      excessAir: null,
      remaining: null,
      evidence: [evidence],
    };
    if (open === undefined) raise(book, { gun: station, cause, subject, onset, now, sprayHours }, verdict, told);
    else update(open, verdict, now, sprayHours, told);
  }
  for (const open of book.open.slice())
    if (
      open.gun === station &&
      /^(stuck:|range:|clock$|no-air$|silence$)/.test(open.subject) &&
      !holding.has(open.subject)
    )
      clear(book, open, now, sprayHours, 'the readings are normal again', told);
}

/** A clock is noticed at the ends of shifts: it counts as off until a working day and a night have passed without. Source: own choice. */
export const CLOCK_HOLDS_MS = 36 * HOUR;
/** How long impossible values of an hour keep their sensor suspected. Source: own choice: until a whole hour has passed without. */
export const RANGE_HOLDS_MS = 2 * HOUR;
/** Impossible values in an hour from which the sensor is suspected. Source: own choice, single ones are noise on the line. */
const RANGE_COUNT = 5;
