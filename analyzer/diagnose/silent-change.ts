import { insertHours, noteReturn } from '../baseline/gun-memory.ts';
import { isDismissed, SHOWS_AGAIN_MS } from './dismissed.ts';
import type { OpenFinding } from './finding-book.ts';
import { wearState } from './judge-wear.ts';
import type { Bench } from './site-view.ts';
import type { StepSigns } from './step-signs.ts';

/**
 * A gain that may be an insert changed without a word, though not beyond doubt: of a worn insert, about two deviations and a good part of
 * what was lost; where another powder came with it, clearly beyond what is known of the two. It is asked about, and nothing is believed
 * of it. Source: own choice.
 */
const ASKED = { wear: 0.1, share: 0.4, deviations: 1.8, deviationsWithPowder: 4 };

/** Remembers a gain that no cause explains, where it may be an insert changed without a word. */
export function askFitted(bench: Bench, signs: StepSigns, wear: number): void {
  const { memory } = bench;
  const { onset, common, powderChange } = memory.step!;
  const gain = -signs.loss;
  if (common || wear < ASKED.wear || gain < ASKED.share * wear) return;
  const deviations = powderChange ? ASKED.deviationsWithPowder : ASKED.deviations;
  if (gain < deviations * signs.lossSd || isDismissed(bench, 'pump-insert', onset)) return;
  const asked = memory.returns.some(({ part, time }) => part === 'pump-insert' && onset - time < SHOWS_AGAIN_MS);
  const logged = memory.insert.logged && memory.insert.since !== null && onset - memory.insert.since < SHOWS_AGAIN_MS;
  if (!asked && !logged) noteFitted(bench, signs, wear, onset, false);
}

/**
 * The output came back at once like a new insert's, and nobody logged a change: remembered, so that it can be offered for the log.
 *
 * @param wear loss of the insert before, ln of output
 * @param time of the change, epoch ms
 */
export function noteFitted(
  bench: Bench,
  { loss, lossSd, elasticity }: Pick<StepSigns, 'loss' | 'lossSd' | 'elasticity'>,
  wear: number,
  time: number,
  counted = true,
): void {
  const { memory, now } = bench;
  const { since } = memory.insert;
  // As findings tell it: at the usual output, over the curve between the two.
  const along = wearState(bench)?.excess.elasticity ?? elasticity;
  noteReturn(memory, {
    ...{ part: 'pump-insert', time, noticed: now },
    before: wear / along,
    after: Math.max(0, wear + loss) / along,
    sd: lossSd / along,
    sprayHours: since === null ? null : insertHours(memory),
    counted,
  });
}

/** Causes of steps that a person cures by a change. */
const CURED_BY_HAND: readonly string[] = ['pump-seals', 'gun-seals', 'powder-hose'];
/** Parts of which the air may show a change that nobody logged. */
export const SILENTLY_CHANGED: readonly string[] = ['pump-insert', ...CURED_BY_HAND];
/** Chart value of output (or of ripple's fall) from which a leak has gone at once; one that fades fills none. Source: own choice, as a neighbour's that counts as moved. */
const AT_ONCE = 4;
/** Log entries so near before its end explain it, ms. Source: own choice, a shift and what a return takes to be noticed. */
const EXPLAINED_MS = 12 * 3_600_000;
/** Loss (ln of output) that has to have come back. Source: own choice, what lots and weeks do. */
const LEAST = 0.05;

/** A leak that was told of has gone at once, and nobody logged that it was mended: remembered likewise. */
export function noteHealed(bench: Bench, { cause }: OpenFinding, { lossSd, elasticity }: StepSigns): void {
  const { memory, now } = bench;
  const { step, steps, starts, log } = memory;
  if (step === null || step.tried.length > 0 || !CURED_BY_HAND.includes(cause)) return;
  const atOnce = Math.max(steps.output.up, steps.ripple.down);
  if (atOnce < AT_ONCE || step.size - step.last < LEAST) return;
  const age = steps.output.up >= steps.ripple.down ? steps.output.upAge : steps.ripple.downAge;
  const time = starts[Math.max(0, starts.length - Math.max(1, age))] ?? now;
  const explained = log.some((entry) => entry.action !== 'inspected' && entry.time > time - EXPLAINED_MS);
  if (explained || isDismissed(bench, cause, time)) return;
  noteReturn(memory, {
    ...{ part: cause, time, noticed: now, sprayHours: null, counted: true },
    ...{ before: step.size / elasticity, after: Math.max(0, step.last) / elasticity, sd: lossSd / elasticity },
  });
}
