import { filterLoss } from '../baseline/motive-line.ts';
import { driftOf, lossOf } from '../baseline/steady-level.ts';
import { lineDeviations } from '../detect/ramp-limits.ts';
import { LASTING_HOURS, LINE_SMALL } from '../detect/ramp-rate.ts';
import { atmosphereBar } from '../runs/atmosphere.ts';
import { agree } from './agree.ts';
import { type Candidate, clear, findOpen, type Judgement, raise, update } from './finding-book.ts';
import { figureOf, percentOf } from './in-words.ts';
import { followSoundPump, lineCauses, lineInWords } from './meter-low.ts';
import { BACK, type SharedLoss, SIDE_LINES, type SideLine, sharedLoss } from './shared-line.ts';
import type { Bench } from './site-view.ts';

/** A slow change of one air line: how far it went, in the line's own terms. */
interface LineSign {
  readonly subject: string;
  /** Growing means worse; mean and deviation. */
  readonly mean: number;
  readonly sd: number;
  /** Below this it is not worth a visit; above it with as many deviations as the promise asks for it is raised. */
  readonly small: number;
  readonly hours: number;
  readonly blocks: number;
  /** What says that some of it is no part of this gun, which is taken off. */
  readonly shared?: SharedLoss['by'] | undefined;
  /** The part of that line, and all that may be behind the change: asked once something is told. */
  readonly part: string;
  readonly candidates: () => readonly Candidate[];
  readonly evidence: () => readonly string[];
}

const LEARNING_BLOCKS = 8;
const LEARNING_HOURS = 3;
/** Probability from which a cause is named at once, and spray hours for which readings may go on to tell it from the others before the likeliest is named all the same. Source: own choice, better than even; a shift: slow changes have days. */
const NAMED = { sure: 0.6, hours: 4 };
/**
 * Probability of what alone lowers a line that has no other to be told from. Source: own choice, rounded down: on simulated plants of two makers all 136 findings on ring,
 * supplementary and inlet filter were right; what else it may be keeps the rest.
 */
const SURE = 0.95;

function conveyingSign(bench: Bench): LineSign | null {
  const atmosphere = atmosphereBar(bench.plant.site.altitude);
  const loss = filterLoss(bench.memory.conveying);
  if (loss === null) return null;
  const { conveying } = bench.memory;
  const { usual } = conveying;
  return {
    subject: 'conveying-line',
    ...loss,
    // Where the nozzle is not choked, hose and powder behind it move the flow too.
    small: LINE_SMALL.conveying + 0.1 * conveying.openness,
    hours: conveying.hours,
    blocks: conveying.blocks,
    part: 'conveying-filter',
    candidates: () => lineCauses(bench, loss.mean),
    evidence: () => [
      `conveying air needs ${percentOf(loss.mean)} more pressure for the same flow at ${(usual - atmosphere).toFixed(1)} bar`,
      lineInWords(bench, loss.mean),
    ],
  };
}

const TAKEN_BACK: Readonly<Record<SharedLoss['by'], string>> = {
  'wet air': 'the air is wet, which loads such lines: no part',
  others: 'several guns lost the same at the same time: no part',
};
const SIDE_PARTS = { fluidizing: 'fluidizing-ring', supplementary: 'supplementary-filter' } as const;

function sideSign(bench: Bench, side: SideLine): LineSign | null {
  const state = bench.memory[side];
  const drift = driftOf(state);
  if (drift === null) return null;
  const part = SIDE_PARTS[side];
  const shared = sharedLoss(bench, side);
  const own = -drift.mean - (shared?.loss ?? 0);
  const beside = shared?.by === 'others' ? ' than the other guns, which have lost some since the same time, too' : '';
  return {
    subject: `${side}-line`,
    mean: own,
    sd: drift.sd,
    small: LINE_SMALL[side],
    hours: state.hours,
    blocks: state.blocks,
    shared: shared?.by,
    part,
    candidates: () => [
      { cause: part, probability: SURE },
      { cause: `sensor:${side}/flow`, probability: 0.04 },
    ],
    evidence: () => [`${side} air: ${percentOf(-Math.expm1(-own))} less at the same pressure${beside}`],
  };
}

function sagSign(bench: Bench): LineSign | null {
  const drift = driftOf(bench.memory.sag);
  if (drift === null) return null;
  const line = bench.gun.supply ?? '';
  const others: number[] = [];
  for (const { id, supply } of bench.plant.guns) {
    if (id === bench.memory.id || (supply ?? '') !== line) continue;
    const other = driftOf(bench.guns[id]!.sag);
    if (other !== null && Number.isFinite(other.mean)) others.push(other.mean);
  }
  others.sort((left, right) => left - right);
  const common = others.length === 0 ? 0 : Math.max(0, others[others.length >> 1]!);
  return {
    subject: 'inlet',
    mean: drift.mean - common,
    sd: drift.sd,
    small: LINE_SMALL.inlet,
    hours: bench.memory.sag.hours,
    blocks: bench.memory.sag.blocks,
    part: 'inlet-filter',
    candidates: () => [
      { cause: 'inlet-filter', probability: SURE },
      { cause: 'supply-air', probability: 0.04 },
    ],
    evidence: () => [
      `inlet pressure sags ${figureOf(drift.mean - common, 2)} bar more than before while spraying, on this unit alone`,
    ],
  };
}

/** Judges every line of a gun whose conductance may only fall slowly when its filter or element clogs. */
export function judgeLines(bench: Bench): void {
  const { memory } = bench;
  const { conveying, sag } = memory;
  const judge = (sign: LineSign | null): void => {
    if (sign !== null) judgeLine(bench, sign);
  };
  const loss = filterLoss(conveying)?.mean;
  if (loss !== undefined) followSoundPump(bench, loss);
  if (!isQuiet(bench, 'conveying-line', loss, LINE_SMALL.conveying)) judge(conveyingSign(bench));
  for (const side of SIDE_LINES)
    if (!isQuiet(bench, `${side}-line`, lossOf(memory[side]), LINE_SMALL[side])) judge(sideSign(bench, side));
  // What others of the line lose too is only taken off.
  if (!isQuiet(bench, 'inlet', driftOf(sag)?.mean, LINE_SMALL.inlet)) judge(sagSign(bench));
}

/** True of a line that was well at the last look and is so still: most are, and then nothing has to be put together. */
function isQuiet({ memory, book }: Bench, subject: string, mean: number | null | undefined, small: number): boolean {
  if (mean === null || mean === undefined) return true;
  return mean < small && memory.beyond[subject] === undefined && findOpen(book, memory.id, subject) === undefined;
}

function judgeLine(bench: Bench, sign: LineSign): void {
  const { memory, book, now, told } = bench;
  const open = findOpen(book, memory.id, sign.subject);
  if (open !== undefined) {
    if (sign.mean < sign.small * BACK && sign.sd < sign.small) {
      const why = sign.shared === undefined ? 'the line passes air as it did' : TAKEN_BACK[sign.shared];
      clear(book, open, now, memory.sprayHours, why, told);
      return;
    }
    update(open, verdictOf(sign, open.cause), now, memory.sprayHours, told);
    return;
  }
  if (sign.blocks < LEARNING_BLOCKS || sign.hours < LEARNING_HOURS) return;
  const within = (own: Bench): boolean =>
    sign.mean - lineDeviations(own.tunablesOf(sign.part).falseAlarmsPerGunYear) * sign.sd < sign.small;
  // Deviations are never below nought: most looks need no limit.
  if (sign.mean < sign.small || agree(bench, within)) {
    if (memory.beyond[sign.subject] !== undefined) delete memory.beyond[sign.subject];
    return;
  }
  memory.beyond[sign.subject] ??= memory.sprayHours;
  const beyondFor = memory.sprayHours - memory.beyond[sign.subject]!;
  if (beyondFor < LASTING_HOURS) return;
  const [{ cause, probability }] = sign.candidates() as [Candidate];
  if (probability < NAMED.sure && beyondFor < LASTING_HOURS + NAMED.hours) return;
  raise(
    book,
    {
      gun: memory.id,
      cause,
      subject: sign.subject,
      onset: now - Math.min(sign.hours, 30) * 3 * 3_600_000,
      now,
      sprayHours: memory.sprayHours,
    },
    verdictOf(sign, cause),
    told,
  );
}

function verdictOf(sign: LineSign, cause: string): Judgement {
  return {
    category: cause.startsWith('sensor:') ? 'function-check' : 'maintenance-required',
    candidates: sign.candidates(),
    excessAir: null,
    remaining: null,
    evidence: sign.evidence,
  };
}
