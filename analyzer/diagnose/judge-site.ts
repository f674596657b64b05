import type { Finding, Plant } from '../../collector/contract/index.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import type { StationFact } from '../site.ts';
import { comesAndGoes } from './comes-and-goes.ts';
import { clear, type FindingBook, findOpen, type Judgement, raise, update } from './finding-book.ts';
import { channelInWords, lastingInWords } from './in-words.ts';

/** What several guns share, looked at once a tick. */
export interface SiteBench {
  readonly plant: Plant;
  readonly guns: Readonly<Record<string, GunMemory>>;
  readonly book: FindingBook;
  readonly now: number;
  /** Snapshots that became due; null where nobody wants them. */
  readonly told: Finding[] | null;
}

const HOUR = 3_600_000;
/** Probability of what readings themselves tell. Source: own choice: on simulated plants of two makers 123 of 129 silences were silences. */
const TOLD_BY_READINGS = 0.95;

/** Facts of sensors, clocks and missing air of one station: those that are known and hold at `now`. */
export function judgeFacts(bench: SiteBench, station: string, facts: readonly StationFact[], sprayHours: number): void {
  const { book, now, told } = bench;
  const holding = new Map<string, { cause: string; onset: number; failure: boolean; evidence: string }>();
  for (const fact of facts) {
    if (
      fact.kind === 'silence' &&
      (findOpen(book, station, 'silence') !== undefined ||
        !(isDayOfSlowClock(bench, fact, facts) || isBesideWrongClocks(bench, fact)))
    )
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
        evidence: fact.detail ?? `${channelInWords(fact.channel)} has kept one value while the other readings moved`,
      });
    if (fact.kind === 'absent')
      holding.set(`absent:${fact.channel}`, {
        cause: `sensor:${fact.channel}`,
        onset: fact.time,
        failure: false,
        evidence: fact.never
          ? `${channelInWords(fact.channel)} has never been read, though the plant file says that it is fitted, while other readings of the gun came for ${lastingInWords(now - fact.time)}: look at sensor, cable and node`
          : `${channelInWords(fact.channel)} is not read any more, for ${lastingInWords(now - fact.time)} now, while the gun sprays and other readings of it come: look at sensor, cable and node`,
      });
    if (fact.kind === 'range' && fact.count >= RANGE_COUNT)
      holding.set(`range:${fact.channel}`, {
        cause: `sensor:${fact.channel}`,
        onset: fact.time,
        failure: false,
        evidence: `${fact.count} readings of the ${channelInWords(fact.channel)} within an hour lie outside what the sensor can measure`,
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
    // Values that are refused are not read either: what they told first says more.
    if (open === undefined && subject.startsWith('absent:') && findOpen(book, station, `range:${subject.slice(7)}`))
      continue;
    const verdict: Judgement = {
      category: failure ? 'failure' : 'function-check',
      candidates: [{ cause, probability: TOLD_BY_READINGS }],
      excessAir: null,
      remaining: null,
      evidence: [evidence],
    };
    if (open === undefined) raise(book, { gun: station, cause, subject, onset, now, sprayHours }, verdict, told);
    else update(open, verdict, now, sprayHours, told);
  }
  // What was last read was out of order: while nothing comes, nothing is normal again.
  for (const open of book.open.slice())
    if (
      open.gun === station &&
      /^(stuck:|absent:|range:|clock$|no-air$|silence$)/.test(open.subject) &&
      !holding.has(open.subject) &&
      !(holding.has('silence') && /^(range:|clock$)/.test(open.subject)) &&
      !comesAndGoes(book, open, now)
    )
      clear(book, open, now, sprayHours, 'the readings are normal again', told);
}

/** Minutes of others beyond a slow clock's own for which a station may be silent, ms. Source: own choice, with the 30 minutes of silence: as much again as guns of a hall are apart. */
const SLOW_BESIDE_MS = 45 * 60_000;

/** A clock that is known to be behind ends its day so much sooner than the others: no silence until they have sprayed for longer than that. */
function isDayOfSlowClock({ guns }: SiteBench, silence: StationFact, facts: readonly StationFact[]): boolean {
  const clock = facts.find((fact) => fact.kind === 'clock');
  if (clock?.kind !== 'clock' || clock.offsetMs === null || clock.offsetMs >= 0) return false;
  const ends = Object.values(guns).map(({ id, lastEnd }) => (id === silence.station ? 0 : lastEnd));
  return Math.max(...ends) - silence.time < SLOW_BESIDE_MS - clock.offsetMs;
}

/** Where nobody sprays on but guns whose clocks are known to be off, the hall may be off: no silence until one with a right clock sprays. */
function isBesideWrongClocks({ guns, book }: SiteBench, silence: StationFact): boolean {
  const spraying = Object.values(guns).filter(({ id, lastEnd }) => id !== silence.station && lastEnd > silence.time);
  return spraying.length > 0 && spraying.every(({ id }) => findOpen(book, id, 'clock') !== undefined);
}

/** A clock is noticed at the ends of shifts: it counts as off until as long as from a Friday's end to a Monday's begin has passed without. Source: own choice. */
export const CLOCK_HOLDS_MS = 66 * HOUR;
/** How long impossible values of an hour keep their sensor suspected. Source: own choice: a night and the first hours of a shift, so that it is not told anew each morning. */
export const RANGE_HOLDS_MS = 20 * HOUR;
/** Impossible values in an hour from which the sensor is suspected. Source: own choice, single ones are noise on the line. */
const RANGE_COUNT = 5;
