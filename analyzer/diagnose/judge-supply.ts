import type { GunMemory } from '../baseline/gun-memory.ts';
import { bringUpToDate, clear, findOpen, type Judgement, type OpenFinding, raise, update } from './finding-book.ts';
import { figureOf } from './in-words.ts';
import type { SiteBench } from './judge-site.ts';

const HOUR = 3_600_000;
/** Drop of the inlet pressure that counts, and where it counts as back, bar. Source: own choice, above the swing of a compressor's band. */
const DROP_BAR = 0.4;
const BACK_BAR = 0.2;
/** Spray hours in which the present pressure is followed, and the usual one. Source: own choice, some three blocks and a week of work. */
const NOW_HOURS = 0.4;
const USUAL_HOURS = 20;
/** Spray hours in which the pressure that a low line has come to is followed, and how long after a fall it is only taken note of. Source: own choice, a working day; air takes some time to get where it goes. */
const BASE_HOURS = 2.5;
const FALLING_MS = 4 * HOUR;
/** How much less a low pressure pulls at the usual one: a drop must not become the usual before someone has looked. Source: own choice. */
const LOW_PULL = 0.25;
/** Blocks from which the usual pressure is known, how old a gun's last word may be, and the share of a line that has to be low. Source: own choice. */
const KNOWN_BLOCKS = 20;
const HEARD_MS = 2 * HOUR;
const LINE_SHARE = 0.6;

/** Inlet pressure of one block, absolute or gauge alike, and when it was. */
interface InletBlock {
  readonly supply: number;
  readonly start: number;
  readonly end: number;
  readonly minutes: number;
}

/** Follows the inlet pressure of one gun: now (half an hour) against usual (ten days). */
export function followSupply(memory: GunMemory, { supply: bar, start, end, minutes }: InletBlock): void {
  if (!Number.isFinite(bar)) return;
  const hours = minutes / 60;
  const { supply } = memory;
  if (supply.blocks === 0) {
    supply.mean = bar;
    supply.now = bar;
  }
  supply.blocks++;
  supply.time = end;
  const off = bar - supply.mean;
  const low = off < -BACK_BAR && supply.blocks > KNOWN_BLOCKS;
  if (!low) {
    supply.lowSince = 0;
    supply.soundUntil = end;
  } else if (supply.lowSince === 0) supply.lowSince = start;
  supply.now += Math.min(1, hours / NOW_HOURS) * (bar - supply.now);
  supply.base += low ? Math.min(1, hours / BASE_HOURS) * (supply.now - supply.base) : supply.now - supply.base;
  const slow = Math.max(1 / supply.blocks, Math.min(1, hours / USUAL_HOURS));
  supply.mean += slow * (low ? LOW_PULL : 1) * off;
}

/**
 * When the pressure of a line fell: each gun tells of it with its own runs, so after the last block of any gun that was sound
 * and not after the first that was low.
 */
function fallOf(low: readonly GunMemory[], now: number): number {
  const starts = low.map(({ supply }) => supply.lowSince).filter((since) => since > 0);
  if (starts.length === 0) return now;
  const first = Math.min(...starts);
  const sound = Math.max(...low.map(({ supply }) => supply.soundUntil).filter((until) => until <= now));
  return Math.min(now, sound > first ? Math.min(sound, Math.max(...starts)) : first);
}

/** Supply air: most guns of a line have lost inlet pressure at the same time. */
export function judgeSupply(bench: SiteBench): void {
  const { plant, guns, now } = bench;
  if (!isWorthALook(bench)) return;
  const lines = new Map<string, GunMemory[]>();
  for (const gun of plant.guns) {
    const memory = guns[gun.id];
    if (memory === undefined || memory.supply.blocks < KNOWN_BLOCKS || now - memory.supply.time > HEARD_MS) continue;
    const line = gun.supply ?? '';
    lines.set(line, [...(lines.get(line) ?? []), memory]);
  }
  for (const [line, members] of lines) judgeLine(bench, line, members);
}

/** False where nothing can come of a closer look: it is asked for at every tick, and pressure is seldom low. */
function isWorthALook({ plant, guns, book }: SiteBench): boolean {
  let low = 0;
  for (const { id } of plant.guns) {
    const supply = guns[id]?.supply;
    if (supply !== undefined && supply.mean - supply.now > DROP_BAR) low++;
  }
  return low >= 2 || book.open.some(({ gun, subject }) => gun === null && subject.startsWith('supply:'));
}

function judgeLine(bench: SiteBench, line: string, members: readonly GunMemory[]): void {
  const { plant, book, now, told } = bench;
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
    evidence: () => [
      `inlet pressure of ${low.length} of ${members.length} guns ${figureOf(median, 1)} bar below the usual at the same time`,
    ],
  };
  if (open !== undefined && fellAgain(members, open.raised, now)) {
    clear(book, open, now, now / HOUR, 'the line had stayed at a lower pressure, and has fallen again', told);
    raiseDrop(bench, subject, members, now, verdict);
  } else if (open !== undefined) {
    if (median < BACK_BAR) clear(book, open, now, now / HOUR, 'inlet pressure is back', told);
    else {
      // A line's pressure falls for all, but each gun tells of it with its own next runs.
      open.guns = plant.guns.flatMap(({ id }) =>
        open.guns?.includes(id) || low.some((member) => member.id === id) ? [id] : [],
      );
      update(open, isCommon(low, members) ? verdict : { ...verdict, evidence: saidOf(open) }, now, now / HOUR, told);
    }
  } else if (isCommon(low, members)) raiseDrop(bench, subject, low, fallOf(low, now), verdict);
}

/** True when enough guns of a line are low for it to be the line. */
const isCommon = (low: readonly GunMemory[], members: readonly GunMemory[]): boolean =>
  low.length >= 2 && low.length >= LINE_SHARE * members.length;

/** What was said while the pressure was low stands while it comes back. */
function saidOf(open: OpenFinding): readonly string[] {
  bringUpToDate(open);
  return [...open.evidence];
}

function raiseDrop(
  { book, now, told }: SiteBench,
  subject: string,
  guns: readonly GunMemory[],
  onset: number,
  verdict: Judgement,
): void {
  for (const { supply } of guns) supply.base = supply.now;
  const at = { gun: null, guns: guns.map(({ id }) => id), cause: 'supply-air', subject, onset };
  raise(book, { ...at, now, sprayHours: now / HOUR }, verdict, told);
}

/** True when most guns of a line that has been low for some time have lost as much again: a setting was lowered, say, and now the line sags. */
function fellAgain(members: readonly GunMemory[], raised: number, now: number): boolean {
  if (now - raised < FALLING_MS) {
    for (const { supply } of members) supply.base = supply.now;
    return false;
  }
  const low = members.filter(({ supply }) => supply.base - supply.now > DROP_BAR);
  return isCommon(low, members);
}
