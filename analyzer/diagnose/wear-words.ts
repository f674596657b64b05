import { counted } from '../../collector/contract/index.ts';
import type { ExcessAir } from '../baseline/excess-air.ts';
import { LINE_SMALL } from '../detect/ramp-rate.ts';
import { percentOf } from './in-words.ts';

/** What else the air of a gun shows while its insert wears. */
export interface BesideWear {
  /** A step that was noticed and is not settled. */
  readonly step: boolean;
  /** Pressure that the conveying line costs more than when it was learnt, as a share; null where it is not read. */
  readonly lineLoss: number | null;
  /** Excess air of the insert alone, and of all that is lost now, as shares. */
  readonly wear: number;
  readonly total: number;
}

/** Shares of excess air by which what a step adds is worth a word. Source: own choice, above rounding. */
const WORTH_A_WORD = 0.02;

/**
 * What came beside a slow rise, as it is: whether it was a rise without a step at unchanged conductance.
 *
 * @example
 * besideWear({ step: false, lineLoss: 0.01, wear: 0.1, total: 0.1 }); // 'no step, conveying conductance unchanged'
 */
export function besideWear({ step, lineLoss, wear, total }: BesideWear): string {
  const words = [step ? 'a step came beside it' : 'no step'];
  if (Math.abs(total - wear) >= WORTH_A_WORD)
    words[0] = `together with what came in steps ${percentOf(total, 1)} over a new insert’s need`;
  if (lineLoss === null) return words[0]!;
  if (lineLoss >= LINE_SMALL.conveying)
    words.push(`conveying air also needs ${percentOf(lineLoss)} more pressure for the same flow`);
  else if (lineLoss <= -LINE_SMALL.conveying) words.push('more conveying air passes at the same pressure than before');
  else words.push('conveying conductance unchanged');
  return words.join(', ');
}

/** What an insert has seen so far; `since` is null where it was in at the first reading. */
interface InsertSoFar {
  readonly since: number | null;
  readonly sprayHours: number;
  readonly kilograms: number;
}

/** What is said where the output is computed from the air. */
export function unreadInWords(excess: ExcessAir, insert: Omit<InsertSoFar, 'kilograms'>): string[] {
  const about = `about ${tenths(Math.expm1(excess.wear))}, give or take ${tenths(1.28 * excess.wearSd)}`;
  const hours = `${counted(insert.sprayHours.toFixed(0), 'spray hour')}`;
  const untold = 'the output is computed from the air and does not tell';
  return [
    ...(insert.since === null
      ? [
          `insert fitted before the first reading: nobody knows its age, ${hours} have been seen of it`,
          `conveying air over a new insert’s need is reckoned from that as ${about}; ${untold}`,
        ]
      : [
          `conveying air at the usual recipe has risen by ${about}; ${untold}`,
          `${hours} since the insert was changed`,
        ]),
    'a wear gauge decides whether it is the insert or a recipe that asks for more',
  ];
}

/**
 * @param against the limit, and what came beside the wear, in words
 * @param ripple growth since the insert's change, ln; null where it is not fitted
 * @param atStop the regulator stands at its stop
 */
export function wearInWords(
  excess: ExcessAir,
  output: number,
  against: string,
  insert: InsertSoFar,
  ripple: number | null,
  atStop = false,
): string[] {
  const low = Math.expm1(excess.wear - 1.28 * excess.wearSd);
  const high = Math.expm1(excess.wear + 1.28 * excess.wearSd);
  const evidence = [
    `conveying air needed for ${Math.exp(output).toFixed(0)} g/min is ${tenths(Math.expm1(excess.wear))} over a new insert’s (${tenths(Math.max(0, low))} to ${tenths(high)})`,
    insert.since === null
      ? `insert fitted before the first reading: a new one’s need is borrowed from the other guns`
      : `${counted(insert.sprayHours.toFixed(0), 'spray hour')} and ${insert.kilograms.toFixed(0)} kg since the insert was changed`,
    against,
  ];
  if (ripple !== null) evidence.push(rippleInWords(ripple, insert.since === null));
  if (atStop) evidence.push(`${AT_STOP}; what has worn since is reckoned from what went through the insert`);
  return evidence;
}

/** What is said of a gun whose regulator stands at its stop. */
export const AT_STOP =
  'recipes that need different conveying air all have the same now, as at a regulator’s stop: this air does not tell of wear';

/** Change of ripple (ln) from which it is said as such. Source: own choice, what weather and recipes do to it. */
const RIPPLE_CHANGE = 0.1;

/** What ripple has done since the insert's change, or since the first readings where it was in before them. */
function rippleInWords(ripple: number, met: boolean): string {
  if (Math.abs(ripple) < RIPPLE_CHANGE)
    return `ripple of the conveying air unchanged ${met ? 'since the first readings' : 'since then'}`;
  return `ripple of the conveying air is ${Math.exp(ripple).toFixed(1)} times what it was ${met ? 'in the first readings' : 'then'}`;
}

const tenths = (share: number): string => percentOf(share, 1);
