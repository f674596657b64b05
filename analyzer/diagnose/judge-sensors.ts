import type { Channel } from '../../collector/contract/index.ts';
import { isJumping, type JumpField } from '../baseline/jumping-readings.ts';
import { readsTooLow } from '../baseline/low-gauge.ts';
import { lineGain } from '../baseline/motive-line.ts';
import { isAnyOff, isOff, ZERO_CHANNELS, ZERO_FIELDS, type ZeroField } from '../detect/zero-tracker.ts';
import { type Candidate, clear, findOpen, raise, update } from './finding-book.ts';
import { channelInWords, figureOf, percentOf } from './in-words.ts';
import type { Bench } from './site-view.ts';

const UNITS: Record<ZeroField, string> = {
  conveyingFlow: 'm³/h',
  conveyingPressure: 'bar',
  supplementaryFlow: 'm³/h',
  supplementaryPressure: 'bar',
  output: 'g/min',
};

/** What findings on zeros are about, and what they name. */
const ABOUT = Object.fromEntries(
  ZERO_FIELDS.map((field) => [
    field,
    { subject: `zero:${ZERO_CHANNELS[field]}`, cause: `sensor:${ZERO_CHANNELS[field]}` },
  ]),
) as Record<ZeroField, { readonly subject: string; readonly cause: string }>;

/** Judges a gun's sensors by what they show when nothing flows, and by a conductance that no filter makes. */
export function judgeSensors(bench: Bench): void {
  if (isAnyOff(bench.memory.zeros) || isZeroTold(bench)) judgeZeros(bench);
  judgeLowGauge(bench);
  judgeJumps(bench);
  judgeGain(bench);
}

/** Whether a finding on any zero of a gun is open. */
function isZeroTold({ book, memory }: Bench): boolean {
  for (const { gun, subject } of book.open) if (gun === memory.id && subject.startsWith('zero:')) return true;
  return false;
}

function judgeZeros(bench: Bench): void {
  const { memory, now } = bench;
  for (const field of ZERO_FIELDS) {
    // A set or computed output has no zero of its own.
    if (field === 'output' && bench.gun.output !== 'measured') continue;
    const { subject, cause } = ABOUT[field];
    const off = isOff(memory.zeros, field, now);
    const open = findOpen(bench.book, memory.id, subject) !== undefined;
    // A meter that keeps one value, or is not believed for another reason, is told as that: what it shows at idle is no zero.
    if (!open && (!off || memory.distrust.includes(ZERO_CHANNELS[field]))) continue;
    const zero = memory.zeros[field];
    hold(bench, subject, cause, off, zero.since || now, () => [
      `${channelInWords(ZERO_CHANNELS[field])} reads ${figureOf(zero.mean, field === 'output' ? 0 : 2)} ${UNITS[field]} with the trigger released: its zero is off`,
    ]);
  }
}

/** A pressure at which no pump works, while air flows: another unit than is said, or a gauge that has gone. */
function judgeLowGauge(bench: Bench): void {
  const { lowGauge } = bench.memory;
  const subject = 'low:conveying/pressure';
  const low = readsTooLow(lowGauge);
  if (!low && findOpen(bench.book, bench.memory.id, subject) === undefined) return;
  hold(bench, subject, 'sensor:conveying/pressure', low, lowGauge.since, () => [
    `conveying pressure reads ${figureOf(lowGauge.bar, 3)} bar while spraying, and no pump works at so little: look whether its unit is the one that is said, and at the gauge; no part is judged by it meanwhile`,
  ]);
}

const JUMPING: readonly { readonly field: JumpField; readonly channel: Channel }[] = [
  { field: 'flow', channel: 'conveying/flow' },
  { field: 'pressure', channel: 'conveying/pressure' },
  { field: 'output', channel: 'powder/output' },
];

/** A reading that jumps about within most pulls: no regulator lets the air do that. */
function judgeJumps(bench: Bench): void {
  const { memory, book, now } = bench;
  for (const { field, channel } of JUMPING) {
    if (field === 'output' && bench.gun.output !== 'measured') continue;
    const subject = `jumps:${channel}`;
    const jumps = isJumping(memory.jumps, field);
    if (!jumps && findOpen(book, memory.id, subject) === undefined) continue;
    hold(bench, subject, `sensor:${channel}`, jumps, now, () => [
      `${channelInWords(channel)} jumps about within ${percentOf(memory.jumps[field])} of the pulls: look at sensor, wiring and regulator; no part is judged by it meanwhile`,
    ]);
  }
}

/** Gain beyond which, and back to which, more air than ever at the same pressure counts. Source: own choice, three deviations of what gauges and weather do, and more where the nozzle is not choked: hose and powder move the flow there, by a tenth of the pressure behind it at most. */
const GAIN = { raised: 0.02, back: 0.015, openness: 0.1 };
/** Deviations and spray hours for which it has to stay so. */
const GAIN_SURETY = 2.5;
const GAIN_HOURS = 3;

/** A flow meter that reads more and a gauge that reads less look alike. Source: own choice, meters a little oftener. */
const DRIFTING: readonly Candidate[] = [
  { cause: 'sensor:conveying/flow', probability: 0.52 },
  { cause: 'sensor:conveying/pressure', probability: 0.43 },
];

/** Flow sensor or gauge drift when more air passes at the same pressure than ever: no part of the gun does that. */
function judgeGain(bench: Bench): void {
  const { memory, now } = bench;
  const gain = lineGain(memory.conveying);
  if (gain === null) return;
  const subject = 'gain:conveying';
  const raised = GAIN.raised + GAIN.openness * memory.conveying.openness;
  const open = findOpen(bench.book, memory.id, subject) !== undefined;
  const beyond = gain.mean - GAIN_SURETY * gain.sd > raised && memory.conveying.hours > GAIN_HOURS;
  if (beyond) memory.beyond[subject] ??= memory.sprayHours;
  else if (memory.beyond[subject] !== undefined) delete memory.beyond[subject];
  const lasts = beyond && memory.sprayHours - memory.beyond[subject]! >= GAIN_HOURS;
  const holds = open ? gain.mean > GAIN.back : lasts;
  const evidence = (): string[] => [
    `more conveying air passes at the same pressure than ever before (${percentOf(Math.expm1(gain.mean))}): no part does that by wearing; compare flow sensor and gauge, and log a filter or motive nozzle that was changed`,
  ];
  hold(bench, subject, 'sensor:conveying/flow', holds, now, evidence, DRIFTING);
}

/** Keeps a function-check finding open while its condition holds. */
export function hold(
  bench: Bench,
  subject: string,
  cause: string,
  holds: boolean,
  onset: number,
  evidence: () => string[],
  candidates: readonly Candidate[] = [{ cause, probability: 0.95 }],
): void {
  const { memory, book, now, told } = bench;
  const open = findOpen(book, memory.id, subject);
  if (open === undefined && !holds) return;
  const verdict = {
    category: 'function-check' as const,
    candidates,
    excessAir: null,
    remaining: null,
    evidence: evidence(),
  };
  if (open !== undefined) {
    if (holds) update(open, verdict, now, memory.sprayHours, told);
    else clear(book, open, now, memory.sprayHours, 'the reading is back to normal', told);
    return;
  }
  raise(book, { gun: memory.id, cause, subject, onset, now, sprayHours: memory.sprayHours }, verdict, told);
}
