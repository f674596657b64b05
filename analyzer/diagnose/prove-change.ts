import { settleProof } from '../baseline/change-proof.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import type { ChangeProof } from '../baseline/pump-pool.ts';
import type { Candidate, Judgement, OpenFinding } from './finding-book.ts';
import type { Bench } from './site-view.ts';

/** Spray hours after a logged change before the readings may say that it cured. Source: own choice: some twenty pulls for each of a few settings. */
const CURED_HOURS = 1;
/** And before they may say that it did not. Source: own choice, most of a shift. */
const IN_VAIN_HOURS = 2;
/** The same where operators first have to turn the air down, or powders are not read and change unseen. Source: own choice, two shifts. */
const SLOW_HOURS = 6;
/** Gain that bears a change out: this share of the loss, and beyond what lots and weeks do (ln of output). Source: own choice: about two deviations of those. */
const GAIN = { share: 0.3, least: 0.06 };
/** A smaller loss (ln of output) cannot be told from lots and weeks, and was no reason for a finding. Source: own choice. */
const TELLABLE = 0.1;
/** How well a gain over so few hours is known, ln of output. Source: own choice, what weeks and lots leave open. */
const LEFT_SD = 0.05;
/** What is left for the other causes when the insert was changed in vain; the rest may be a change only written down. Source: own choice. */
const NOT_CURED = 0.8;

/**
 * Whether the readings bear out that a logged change of the insert brought the output back. The log alone clears nothing.
 *
 * @returns `open` while it cannot be told yet
 */
export function proveChange({ memory, pool, gun }: Bench): 'open' | 'in-vain' | 'cured' {
  const { insert } = memory;
  const settled = insert.inVain === true ? 'in-vain' : 'cured';
  const proof = pool.guns[memory.id]?.proof ?? null;
  if (proof === null) return settled;
  if (proof.lost < TELLABLE) {
    settleProof(pool, memory.id, false);
    return settled;
  }
  if (proof.hours < CURED_HOURS) return 'open';
  const cured = proof.gain > Math.max(GAIN.share * proof.lost, GAIN.least);
  const slow = gun.output !== 'measured' || memory.powder === '';
  if (!cured && proof.hours < (slow ? SLOW_HOURS : IN_VAIN_HOURS)) return 'open';
  const unread = memory.powder === '' || gun.output === 'coupled';
  const exchanged = isMeterExchanged(memory) ? EXCHANGED.sd : 0;
  insert.inVain =
    !cured && vainOdds(proof, Math.hypot(unread ? STIR.unread : slow ? STIR.set : STIR.read, exchanged)) > 0;
  // Where operators have yet to turn the air down, hours of readings do not tell what is left.
  if (!slow) insert.left = { mean: proof.lost - proof.gain, sd: Math.hypot(proof.lostSd, LEFT_SD, exchanged) };
  settleProof(pool, memory.id, insert.inVain);
  return insert.inVain ? 'in-vain' : 'cured';
}

/** Chance that a change is only written down, or another part was to blame. Source: own choice: people write down what they did. */
const ONLY_WRITTEN = 0.05;
/** How far the hours after a change may lie off for no fault of the insert (deviation, ln of output): lots and shifts; an operator who has yet to turn the air down; powders or recipes that are not read. Source: own choice, as PRIORS has them. */
const STIR = { read: 0.035, set: 0.06, unread: 0.12 };

/**
 * Meters that the gain rests on: where one was exchanged within so long of the insert, ms, the new one reads otherwise, by this deviation, ln of output. Source: own choice, one stop of
 * the gun; a meter's tolerance, as `applyLog` opens the level.
 */
const EXCHANGED = { parts: ['sensor:conveying/flow', 'sensor:powder/output'], withinMs: 4 * 3_600_000, sd: 0.1 };

function isMeterExchanged({ log, insert: { since } }: GunMemory): boolean {
  return log.some(
    ({ part, action, time }) =>
      EXCHANGED.parts.includes(part) &&
      action === 'replaced' &&
      since !== null &&
      Math.abs(time - since) < EXCHANGED.withinMs,
  );
}

/** ln odds that the insert was not it: a gain about nought against one about the loss that was believed, as surely as it was. */
function vainOdds({ lost, lostSd, gain }: ChangeProof, stir: number): number {
  const spread = Math.hypot(lostSd, stir);
  const vain = -0.5 * (gain / stir) ** 2 - Math.log(stir);
  const cured = -0.5 * ((gain - lost) / spread) ** 2 - Math.log(spread);
  return Math.log(ONLY_WRITTEN / (1 - ONLY_WRITTEN)) + vain - cured;
}

/**
 * The insert was changed, and it was not the insert: the next candidate moves up.
 *
 * @param candidates as the readings alone have them: what was found by hand weighs them once, when the finding is read
 */
export function notCured(
  { category }: Pick<OpenFinding, 'category'>,
  candidates: readonly Candidate[],
  excessAir: number | null,
): Judgement {
  const others = candidates.filter(({ cause }) => cause !== 'pump-insert');
  const left = others.reduce((sum, { probability }) => sum + probability, 0);
  return {
    ...{ category, excessAir, remaining: null },
    candidates: [
      ...others.map(({ cause, probability }) => ({ cause, probability: (NOT_CURED * probability) / left })),
      { cause: 'pump-insert', probability: (1 - NOT_CURED) / 2 },
    ],
    evidence: ['the log says that the insert was changed, but the air per output did not come back'],
  };
}
