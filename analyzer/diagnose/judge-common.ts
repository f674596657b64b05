import { mean } from 'simple-statistics';
import { lotWords } from '../../collector/contract/index.ts';
import { usualElasticity } from '../baseline/excess-air.ts';
import { linearForm } from '../baseline/gaussian-state.ts';
import { isShared, movedWithLot } from '../baseline/lot-heard.ts';
import { AIR_OF_A_LINE } from './candidate.ts';
import { clear, findOpen, raise, update } from './finding-book.ts';
import { percentOf } from './in-words.ts';
import { isWet } from './judge-dew-point.ts';
import type { Bench } from './site-view.ts';

const HOUR = 3_600_000;
/** Loss (ln) from which a lot or the air is not as it should be: beyond what normal lots do, ±6 % of air. Source: handbook, section 4. */
const BAD_LOT_AIR = 0.06;
/** Loss of all guns of a line from which the air is to be looked at, and at which it is well again. Source: own choice. */
const BAD_AIR = { raised: 0.06, back: 0.03 };
/** What guns share has to last before it is told: boxes, breaks and operators come together too. Source: own choice. */
const LASTING_MS = 2 * HOUR;
/**
 * The same where only set outputs tell of it: whoever takes over a booth sets its guns by their own eye, all within an hour or two, and the next shift by another. What
 * the powder or the air does stays with the next hand. Source: own choice, a shift and some hours of the next.
 */
const HANDS_LASTING_MS = 10 * HOUR;
/** How long what the air did to all guns explains a bad lot as well. Source: own choice. */
const AIR_MS = 24 * HOUR;
/** Deviations by which a lot has to be beyond normal ones. Source: own choice: a normal lot at the end of its range is told by no more than one in six. */
const LOT_SURETY = 1;
/** Probability that such a lot is bad. Source: own choice, what one deviation leaves: on simulated plants of two makers 35 of 55 were. */
const LOT_SURE = 0.65;
/** A lot that is used for so many spray hours is a new normal. Source: own choice. */
const LOT_HOURS = 30;

/** Whether what these guns say of the air that they need may be a hand's: nothing of their output is measured. */
function areHands({ plant }: Bench, guns: readonly string[]): boolean {
  return guns.every((id) => plant.guns.find((gun) => gun.id === id)?.output !== 'measured');
}

/** Judges the lot of the powder in use, for this gun: not the gun, and not its parts. */
export function judgeLot(bench: Bench): void {
  const { memory, pool, book, now, told } = bench;
  const { gaussian } = pool;
  const gun = pool.guns[memory.id];
  for (const open of book.open.filter(({ gun, subject }) => gun === memory.id && subject.startsWith('lot:'))) {
    const powder = pool.powders[open.subject.slice(4)];
    const back = powder === undefined || powder.lotBefore - gaussian.mean[powder.lot]! < 0.05;
    if (back || memory.sprayHours - open.raisedHours > LOT_HOURS)
      clear(book, open, now, memory.sprayHours, 'the powder does as it did, or has become the usual', told);
    else
      update(
        open,
        judgementOf(open.subject.slice(4), powder.lotBefore - gaussian.mean[powder.lot]!),
        now,
        memory.sprayHours,
        told,
      );
  }
  const powder = pool.powders[memory.powder];
  if (gun === undefined || powder === undefined || powder.lotSince === 0 || memory.powder === '') return;
  const since = now - powder.lotSince;
  if (since < LASTING_MS || since > 72 * HOUR || now - memory.lastEnd > HOUR) return;
  // One gun may have its own reasons; and air that has just been wet or dried is nobody's lot.
  if (!isShared(powder)) return;
  const moved = movedWithLot(powder);
  if (since < HANDS_LASTING_MS && areHands(bench, moved)) return;
  if (pool.common.taken > 0 && now - pool.common.taken < AIR_MS) return;
  const subject = `lot:${memory.powder}`;
  if (findOpen(book, memory.id, subject) !== undefined) return;
  if (
    book.closed.some(
      (finding) => finding.gun === memory.id && finding.subject === subject && finding.onset === powder.lotSince,
    )
  )
    return;
  const loss = powder.lotBefore - gaussian.mean[powder.lot]!;
  // A lot is bad or is not, whichever of its guns is asked: the trade's bound on air is reckoned at what those guns need together.
  const elasticity = mean(moved.map((id) => usualElasticity(pool, id)));
  // Both against the lot before and against what is usual for this powder.
  const lot = linearForm(gaussian, [powder.lot], [1]);
  if (Math.min(loss, 0.03 - lot.mean) - LOT_SURETY * Math.sqrt(lot.variance) < elasticity * BAD_LOT_AIR) return;
  raise(
    book,
    { gun: memory.id, cause: 'powder', subject, onset: powder.lotSince, now, sprayHours: memory.sprayHours },
    judgementOf(memory.powder, loss),
    told,
  );
}

function judgementOf(powder: string, loss: number) {
  return {
    category: 'out-of-specification' as const,
    candidates: [{ cause: 'powder', probability: LOT_SURE }],
    excessAir: null,
    remaining: null,
    evidence: () => [lotWords(powder, percentOf(-Math.expm1(-loss)))],
  };
}

/** So long after it could be told first it still is, ms. Source: own choice, a shift and the way to it. */
const TELLING_MS = 10 * HOUR;

/** Whether what the guns of a line share has lasted, and not for so long that it is told no more. */
function lasts(bench: Bench): boolean {
  const { pool, now } = bench;
  const lasting = areHands(bench, Object.keys(pool.guns)) ? HANDS_LASTING_MS : LASTING_MS;
  return now - pool.common.onset >= lasting && now - pool.common.taken <= lasting + TELLING_MS;
}

/** Judges what the guns of one air line lose together, whatever they spray. */
export function judgeAir(bench: Bench): void {
  const { pool, book, now, told } = bench;
  const { gaussian, common } = pool;
  const loss = -gaussian.mean[pool.site]!;
  const begins = common.taken !== 0 && loss >= BAD_AIR.raised && lasts(bench);
  // Most looks end here, before anything is put together.
  if (!begins && !book.open.some(({ gun, subject }) => gun === null && subject.startsWith('air:'))) return;
  const subject = `air:${Object.keys(pool.guns)[0]}`;
  const open = findOpen(book, null, subject);
  if (open === undefined && (!begins || isWet(book, bench.memory.id))) return;
  const guns = Object.keys(pool.guns).sort();
  const verdict = {
    category: 'out-of-specification' as const,
    candidates: AIR_OF_A_LINE,
    excessAir: null,
    remaining: null,
    evidence: () => [
      `${guns.length} guns of one air line give ${percentOf(-Math.expm1(-loss))} less for the same air at the same time, with every powder: look at dew point and oil`,
    ],
  };
  if (open !== undefined) {
    if (loss < BAD_AIR.back) clear(book, open, now, now / HOUR, 'the guns give again what they did', told);
    else update(open, verdict, now, now / HOUR, told);
    return;
  }
  raise(
    book,
    { gun: null, guns, cause: 'supply-air', subject, onset: common.onset, now, sprayHours: now / HOUR },
    verdict,
    told,
  );
}
