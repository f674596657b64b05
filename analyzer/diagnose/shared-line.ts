import { median } from 'simple-statistics';
import type { GunMemory } from '../baseline/gun-memory.ts';
import { lossOf } from '../baseline/steady-level.ts';
import { LINE_SMALL } from '../detect/ramp-rate.ts';
import { AIR_OF_A_LINE, type Candidate } from './candidate.ts';
import { clear, findOpen, type Judgement, raise, update } from './finding-book.ts';
import { percentOf } from './in-words.ts';
import { wetSince } from './judge-dew-point.ts';
import type { SiteBench } from './judge-site.ts';
import type { Bench } from './site-view.ts';

/** Lines behind an element that clogs by itself and that damp or oily air loads on all guns at once. */
export type SideLine = 'fluidizing' | 'supplementary';
export const SIDE_LINES: readonly SideLine[] = ['fluidizing', 'supplementary'];

const HOUR = 3_600_000;
/** Share of what is worth a visit from which a line counts as low, and below which one that was told is back. Source: own choice, far from where it is told, so that it does not chatter. */
export const BACK = 0.7;
/** Share below which it counts as low no more: one that hovers keeps the time at which it fell. Source: own choice. */
const LOW_NO_MORE = 0.5;
/**
 * Guns whose line fell within so long of each other fell together. Source: own choice, two days: shifts and booths tell of it one after the other, while elements that clog
 * by themselves over months, put in on the same day though, get as far weeks apart.
 */
const TOGETHER_MS = 48 * HOUR;
/** Guns that have to say so, and the share of those of their air line that were heard lately. Source: own choice, as for what the pumps of a line lose together. */
const GUNS = 3;
const SHARE = 0.6;
const HEARD_MS = 24 * HOUR;
/** How long most have to be low before it is told, once what they lost is worth a visit. Source: own choice, as for what the pumps of a line lose together. */
const LASTING_MS = 2 * HOUR;
/** Blocks from which a line is known. Source: own choice, as for a line of its own. */
const KNOWN_BLOCKS = 8;
/** Subjects of such findings begin so. */
const SUBJECT = 'shared-line:';

/** Notes since when a line of this gun has been low, as time goes on: what fell at the same time elsewhere is not this gun's own. */
export function followLow(memory: GunMemory, side: SideLine): void {
  const loss = lossOf(memory[side]);
  const share = loss === null ? 0 : loss / LINE_SMALL[side];
  if (share >= BACK) memory.lineLow[side] ??= memory[side].time;
  else if (share < LOW_NO_MORE && memory.lineLow[side] !== undefined) delete memory.lineLow[side];
}

/** Guns of one air line by what their lines say. */
interface Members {
  /** Heard lately, and those of them that fell together. */
  readonly heard: readonly GunMemory[];
  readonly fell: readonly GunMemory[];
}

function membersOf(
  { plant, guns }: Pick<SiteBench, 'plant' | 'guns'>,
  supply: string,
  side: SideLine,
  at: number,
): Members {
  const heard: GunMemory[] = [];
  const fell: GunMemory[] = [];
  for (const gun of plant.guns) {
    const memory = guns[gun.id];
    if ((gun.supply ?? '') !== supply || memory === undefined || memory[side].blocks < KNOWN_BLOCKS) continue;
    const since = memory.lineLow[side];
    if (since !== undefined && Math.abs(since - at) <= TOGETHER_MS) fell.push(memory);
    else if (memory[side].time < at - HEARD_MS) continue;
    heard.push(memory);
  }
  return { heard, fell };
}

const isShared = ({ heard, fell }: Members): boolean => fell.length >= GUNS && fell.length >= SHARE * heard.length;

/** What a line lost that is no part of its gun: ln, and whether wet air or the other guns say so; null where it is all its own. */
export interface SharedLoss {
  readonly loss: number;
  readonly by: 'wet air' | 'others';
}

/**
 * What a line of this gun lost together with most others of its air line: the median of what those lost. A gun that lost more than
 * they did has the rest for its own. Air that is known to be wet needs no others to say so.
 */
export function sharedLoss(
  bench: Pick<Bench, 'plant' | 'guns' | 'memory' | 'gun' | 'book' | 'now'>,
  side: SideLine,
): SharedLoss | null {
  const { guns, memory, gun, book, now } = bench;
  const since = memory.lineLow[side];
  if (since === undefined) return null;
  if (since >= wetSince(book, memory.id, now)) return { loss: lossOf(memory[side])!, by: 'wet air' };
  const line = gun.supply ?? '';
  const named = findOpen(book, null, `${SUBJECT}${side}:${line}`)?.guns ?? [];
  const told = named.includes(memory.id) ? named.flatMap((id) => guns[id] ?? []) : null;
  const members = told === null ? membersOf(bench, line, side, since) : null;
  if (members !== null && !isShared(members)) return null;
  const others = (told ?? members!.fell).filter(({ id }) => id !== memory.id);
  return { loss: lostBy(side, others), by: 'others' };
}

interface LineWords {
  readonly air: string;
  readonly look: string;
  readonly candidates: readonly Candidate[];
}

const LINE_IN_WORDS: Readonly<Record<SideLine, LineWords>> = {
  fluidizing: {
    candidates: AIR_OF_A_LINE,
    air: 'fluidizing air',
    look: 'damp or oil in the air (dew point, dryer, drains) and for damp powder',
  },
  // No powder comes near it.
  supplementary: {
    candidates: AIR_OF_A_LINE.filter(({ cause }) => cause === 'supply-air'),
    air: 'supplementary air',
    look: 'damp or oil in the air (dew point, dryer, drains)',
  },
};

/** Supply air: the same line of most guns passes less since the same time, as damp or oily air makes it. Where a dew point already says so it is not told twice. */
export function judgeSharedLines(bench: SiteBench): void {
  const { plant, guns, book, now, told } = bench;
  for (const side of SIDE_LINES) {
    const low = plant.guns.filter(({ id }) => guns[id]?.lineLow[side] !== undefined);
    const started = book.open.filter(({ gun, subject }) => gun === null && subject.startsWith(`${SUBJECT}${side}:`));
    for (const open of started) {
      const members = open.guns!.flatMap((id) => guns[id] ?? []);
      if (lostBy(side, members) < BACK * LINE_SMALL[side])
        clear(book, open, now, now / HOUR, 'the lines pass air as they did', told);
      else update(open, verdictOf(side, members), now, now / HOUR, told);
    }
    const lines = new Set(low.map(({ supply }) => supply ?? ''));
    for (const line of lines) {
      const subject = `${SUBJECT}${side}:${line}`;
      if (started.some((open) => open.subject === subject)) continue;
      const times = low.filter(({ supply }) => (supply ?? '') === line).map(({ id }) => guns[id]!.lineLow[side]!);
      const onset = times
        .sort((left, right) => left - right)
        .find((time) => isShared(membersOf(bench, line, side, time)));
      if (onset === undefined) continue;
      const { fell } = membersOf(bench, line, side, onset);
      const third = fell.map(({ lineLow }) => lineLow[side]!).sort((left, right) => left - right)[GUNS - 1]!;
      if (
        lostBy(side, fell) < LINE_SMALL[side] ||
        now - third < LASTING_MS ||
        fell.some(({ id }) => onset >= wetSince(book, id, now))
      )
        continue;
      const raised = { gun: null, guns: fell.map(({ id }) => id), cause: 'supply-air', subject, onset };
      raise(book, { ...raised, now, sprayHours: now / HOUR }, verdictOf(side, fell), told);
    }
  }
}

/** What these guns' lines lost, the median in ln. */
const lostBy = (side: SideLine, members: readonly GunMemory[]): number =>
  median(members.map((memory) => lossOf(memory[side]) ?? 0));

function verdictOf(side: SideLine, members: readonly GunMemory[]): Judgement {
  const lost = lostBy(side, members);
  return {
    category: 'out-of-specification',
    candidates: LINE_IN_WORDS[side].candidates,
    excessAir: null,
    remaining: null,
    evidence: () => [
      `${LINE_IN_WORDS[side].air} of ${members.length} guns: ${percentOf(-Math.expm1(-lost))} less at the same pressure since the same time, so no part of one gun: look for ${LINE_IN_WORDS[side].look}`,
    ],
  };
}
