import { openCommon } from '../baseline/common-steps.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import type { StationFact } from '../site.ts';
import { clear, type FindingBook, findOpen, raise, update } from './finding-book.ts';
import { figureOf } from './in-words.ts';
import type { SiteBench } from './judge-site.ts';

const HOUR = 3_600_000;
/** Subjects of such findings begin so; the line's name follows. */
const SUBJECT = 'wet:';

type WetAir = StationFact & { readonly kind: 'wet-air' };

/** True while a gun's air line is known to be wet. */
export function isWet({ open }: FindingBook, gun: string): boolean {
  return open.some(({ subject, guns }) => subject.startsWith(SUBJECT) && guns!.includes(gun));
}

/** How long what wet air left behind is still its own, ms. Source: own choice, a day on which what it loaded dries. */
const DRIES_MS = 24 * HOUR;
/** What wet air does to lines begins before a dew point has risen by what is told, ms. Source: own choice, a shift. */
const RISES_MS = 8 * HOUR;

/**
 * From when on what fell may be the wet air's that the air line of a gun is known for at a time, or was within a day before it, epoch ms; infinite where it was not. A dryer
 * that fails comes and goes: spells less than a day apart are one.
 */
export function wetSince({ open, closed }: FindingBook, gun: string, at: number): number {
  let since = Number.POSITIVE_INFINITY;
  for (let reach = at; ; reach = since) {
    const before = since;
    for (const told of [open, closed])
      for (const { subject, guns, onset, cleared } of told)
        if (
          onset < since &&
          onset <= reach &&
          subject.startsWith(SUBJECT) &&
          guns!.includes(gun) &&
          (cleared === null || reach <= cleared + DRIES_MS)
        )
          since = onset;
    if (since === before) return since - RISES_MS;
  }
}

/**
 * Supply air by its dew point: wet air is a trouble of every gun on the line, seen before guns lose anything. The guns' belief is
 * told, so that what they then lose together is nobody's leak, and again when the air is dry.
 *
 * @param wet facts that hold now, of air points and of guns that read their own dew point
 * @param pools of guns, each of one line
 */
export function judgeDewPoint(bench: SiteBench, wet: readonly WetAir[], pools: readonly PumpPool[]): void {
  const { book, now, told } = bench;
  const lines = new Map<string, WetAir>();
  for (const fact of wet) {
    const line = lineOf(bench, fact.station);
    const known = lines.get(line);
    if (known === undefined || fact.time < known.time) lines.set(line, fact);
  }
  for (const [line, fact] of lines) judgeLine(bench, line, fact, pools);
  for (const open of [...book.open]) {
    if (!open.subject.startsWith(SUBJECT) || lines.has(open.subject.slice(SUBJECT.length))) continue;
    clear(book, open, now, now / HOUR, 'the dew point is back', told);
    for (const pool of poolsOf(pools, open.guns!)) openCommon(pool, now, now);
  }
}

function judgeLine(bench: SiteBench, line: string, fact: WetAir, pools: readonly PumpPool[]): void {
  const { book, now, told } = bench;
  const subject = `${SUBJECT}${line}`;
  const open = findOpen(book, null, subject);
  const verdict = {
    category: 'out-of-specification' as const,
    candidates: [{ cause: 'supply-air', probability: 0.93 }],
    excessAir: null,
    remaining: null,
    evidence: () => [
      `pressure dew point at ${fact.station} rose from ${figureOf(fact.usualCel, 0)} to ${figureOf(fact.dewpointCel, 0)} °C: the air of the line is wet; look at the dryer and its drains`,
    ],
  };
  if (open !== undefined) {
    update(open, verdict, now, now / HOUR, told);
    return;
  }
  const guns = gunsOf(bench, line);
  raise(
    book,
    { gun: null, guns, cause: 'supply-air', subject, onset: fact.time, now, sprayHours: now / HOUR },
    verdict,
    told,
  );
  for (const pool of poolsOf(pools, guns)) openCommon(pool, fact.time, now);
}

function lineOf({ plant }: SiteBench, station: string): string {
  return [...plant.guns, ...plant.air].find(({ id }) => id === station)?.supply ?? '';
}

/** Guns of a line; all of them where the plant file does not say which the point feeds. */
function gunsOf({ plant }: SiteBench, line: string): string[] {
  const own = plant.guns.filter(({ supply }) => (supply ?? '') === line);
  return (own.length > 0 ? own : plant.guns).map(({ id }) => id).sort();
}

function poolsOf(pools: readonly PumpPool[], guns: readonly string[]): PumpPool[] {
  return pools.filter((pool) => guns.some((id) => pool.guns[id] !== undefined));
}
