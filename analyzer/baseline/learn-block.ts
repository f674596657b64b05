import type { Gun } from '../../collector/contract/index.ts';
import { isHeldAir } from './asked-air.ts';
import { decayIn } from './belief-room.ts';
import { type Block, isScalePull } from './block.ts';
import { gatherProof } from './change-proof.ts';
import { considerCommon, considerLot, followLot } from './common-steps.ts';
import { OTHER_RECIPE } from './coupled-output.ts';
import { gatherGain } from './gain-watch.ts';
import { addQuantity, decayQuantity, type GaussianState, liftTo } from './gaussian-state.ts';
import { learnHidden } from './hidden-powder.ts';
import { hearLot } from './lot-heard.ts';
import { expectation, type Innovation, observe } from './observe.ts';
import { curveBend, curveRise, curveTwist } from './pump-curve.ts';
import { ensureGun, ensurePowder, type Moments, type PumpGun, type PumpPool, type PumpPowder } from './pump-pool.ts';
import { PRIORS } from './pump-priors.ts';
import { blockScatter, learnScatter, RUN_SCATTER } from './run-scatter.ts';
import { restartStarts } from './step-starts.ts';
import { unusualSupplementary } from './supplementary-practice.ts';

const HOUR = 3_600_000;
/** Middle of manual guns' conveying air, m3/h: the first block may be an odd recipe. Source: handbook section 1 (1–4 m3/h). */
const USUAL_FLOW = 2;
/** A powder not sprayed for this long may come back as another lot. Source: own choice, a night or another powder's campaign. */
const CAMPAIGN_GAP_MS = 3 * HOUR;

function decay(
  gaussian: GaussianState,
  index: number,
  elapsedMs: number,
  nuisance: { sd: number; hours: number },
): void {
  if (elapsedMs <= 0) return;
  const factor = Math.exp(-elapsedMs / (nuisance.hours * HOUR));
  decayIn(gaussian, index, factor, (1 - factor * factor) * nuisance.sd ** 2);
}

/**
 * Another lot may have come and not stand out: a lot of the same spread with a small chance, by its first two moments. What
 * lots do stays about nought, so that it cannot swallow wear, but wear is not told more surely than lots leave it open.
 *
 * Source: the best linear estimate needs no more than two moments (R. E. Kalman (1960), J. Basic Eng. 82(1) 35); own choice to use it here.
 */
function exchangeLot(gaussian: GaussianState, powder: PumpPowder): void {
  const keep = 1 - PRIORS.lotChange;
  decayQuantity(gaussian, powder.lot, keep, (1 - keep * keep) * PRIORS.lot ** 2);
}

/** True where nobody reads the powder and a pause before the block was long enough for another. */
function mayBeAnother(gun: PumpGun, { powder, start }: Block): boolean {
  return powder === '' && start - gun.time > PRIORS.hidden.pauseMinutes * 60_000;
}

/** Lets time pass for what comes and goes: shift, week, site, and a powder's lot when it starts a new campaign. */
function passTime(pool: PumpPool, gun: PumpGun, powder: PumpPowder, block: Block): void {
  const { gaussian } = pool;
  const elapsed = block.end - gun.time;
  decay(gaussian, gun.shift, elapsed, gun.setpoint ? PRIORS.notch : PRIORS.shift);
  decay(gaussian, gun.week, elapsed, PRIORS.week);
  if (mayBeAnother(gun, block)) {
    const keep = 1 - PRIORS.hidden.chance;
    decayIn(gaussian, gun.powders['']!, keep, (1 - keep * keep) * gun.hidden);
    // A loss over such a pause is another powder's as well as a leak's: only what comes within a stretch of work tells.
    restartStarts(gaussian, gun.losses, gun.time);
  }
  if (pool.siteTime > 0) decay(gaussian, pool.site, block.end - pool.siteTime, PRIORS.site);
  if (block.start - powder.lastSeen > CAMPAIGN_GAP_MS) {
    // A lot of powders that nobody reads is one more of those, and not another quantity beside them.
    if (block.powder !== '') {
      exchangeLot(gaussian, powder);
      followLot(pool, powder, block.end, true);
    }
  }
  pool.siteTime = Math.max(pool.siteTime, block.end);
  powder.lastSeen = Math.max(powder.lastSeen, block.end);
  gun.time = Math.max(gun.time, block.end);
}

/**
 * Output that far off (ln, and deviations) is a box run empty or bridging, a purge or a refill, not the pump; for so many blocks. More than expected no box gives for
 * long: a new insert in place of a badly worn one does. Source: own choice, above what 15 % of air costs; an hour or so of too much.
 */
const BOX_TROUBLE = { off: 0.33, deviations: 5, blocks: 15, gains: 3 };

/** True for a block whose output is so far off that the box, or a recipe that is not read, is to blame; false again when it stays so for hours. */
function isBoxTrouble(
  pool: PumpPool,
  gun: PumpGun,
  indices: readonly number[],
  coefficients: readonly number[],
  value: number,
  noise: number,
  trouble: { readonly off: number; readonly deviations: number; readonly blocks: number; readonly gains: number },
): boolean {
  const { mean } = pool.gaussian;
  let expected = 0;
  for (let i = 0; i < indices.length; i++) expected += coefficients[i]! * mean[indices[i]!]!;
  const off = Math.abs(value - expected);
  // How sure that is costs more to know, and is seldom asked.
  const odd =
    off > trouble.off &&
    off > trouble.deviations * Math.sqrt(expectation(pool.gaussian, indices, coefficients, noise).variance);
  gun.odd = odd ? gun.odd + 1 : 0;
  return odd && gun.odd <= (value > expected ? trouble.gains : trouble.blocks);
}

/** What is asked at a regulator's stop is no less than what comes out, so a loss of so many deviations is one all the same. Source: own choice. */
const CLEAR_LOSS = 2;
/** ln by which a set output has to change to be another recipe, and how much of the operator's error goes over to it. Source: own choice. */
const RECIPE_CHANGE = 0.03;
const RECIPE_KEEPS = 0.5;
/** Blocks of guns with a measured output from which they alone tell the curve. Source: own choice, a shift of a few guns. */
const MEASURED_BLOCKS = 60;
/** An insert wears at least at this share of the usual rate. Source: own choice: lives of ten times the usual are not seen. */
const LEAST_RATE = 0.1;
/**
 * A pump past its threshold gives at least this much more for more air (d ln output / d ln air at the reference). Where the output is set, air that
 * a hand set wrong for a recipe flattens the curve without end. Source: handbook section 1's ranges, as PRIORS.elasticity has them.
 */
const LEAST_SET_ELASTICITY = 1.1;
/** Blocks over which a gun's usual air is reckoned. Source: own choice, some two weeks. */
const FLOW_BLOCKS = 150;
/** Blocks over which a gun's unrest is reckoned. Source: own choice, some two weeks. */
const UNREST_BLOCKS = 150;

/** Steps that a block of this gun with this powder may tell of; what the line shares only where the powder is read. */
function tracesOf(pool: PumpPool, gun: PumpGun, powder: PumpPowder, block: Block): number[] {
  const own = gun.losses.traces.slice();
  own.push(gun.gain, powder.trace);
  if (block.powder !== '') for (const { trace } of pool.common.starts) own.push(trace);
  return own;
}

/** How many blocks count where a scale tells: few at first. */
function scatterBlocks(gun: PumpGun): number {
  gun.pooled++;
  return Math.min(RUN_SCATTER.firstBlocks + gun.pooled, RUN_SCATTER.blocks);
}

/** What a block's output said. */
export interface Heard extends Innovation {
  /** Level of this gun with its powder and a leak (ln), beside all else that is known, and the variance of the reading. */
  readonly level: number;
  readonly noise: number;
}

/**
 * Takes one block in. Blocks of all guns of the pool come in order of their ends.
 *
 * @param kind how the output is known: measured, what the recipe asks, or (coupled) what stands for a recipe that is not read
 * @param first what the insert has lost when the gun's first block comes, ln output
 * @returns what its output said against what was expected (ln), or null when its output is unknown
 */
export function learnBlock(pool: PumpPool, block: Block, kind: Gun['output'], first: Moments): Heard | null {
  if (!Number.isFinite(block.output)) return null;
  if (pool.reference === 0) pool.reference = Math.sqrt(Math.exp(block.flow) * USUAL_FLOW);
  const setpoint = kind !== 'measured';
  const unread = kind === 'coupled';
  const gun = ensureGun(pool, block, kind, first);
  const powder = ensurePowder(pool, block);
  let own = gun.powders[block.powder];
  if (own === undefined) {
    own = addQuantity(pool.gaussian, 0, (block.powder === '' ? PRIORS.hidden.sd : PRIORS.gunPowder) ** 2);
    gun.powders[block.powder] = own;
  }
  const another = mayBeAnother(gun, block);
  passTime(pool, gun, powder, block);
  const ratio = Math.exp(block.flow) / pool.reference;
  const rise = curveRise(ratio);
  const bend = curveBend(ratio);
  if (setpoint && Math.abs(block.output - gun.recipe) > RECIPE_CHANGE)
    decayQuantity(pool.gaussian, gun.shift, RECIPE_KEEPS, (1 - RECIPE_KEEPS ** 2) * PRIORS.notch.sd ** 2);
  gun.recipe = block.output;
  gun.flow += (Math.exp(block.flow) - gun.flow) / FLOW_BLOCKS;
  const side = unusualSupplementary(gun, Math.exp(block.flow), block.supplementary);
  const indices = [
    pool.level,
    gun.level,
    powder.effect,
    own,
    powder.lot,
    pool.site,
    gun.shift,
    gun.week,
    pool.elasticity,
    gun.elasticity,
    pool.bend,
    gun.bend,
    pool.twist,
    gun.wear,
    gun.leak,
  ];
  const coefficients = [1, 1, 1, 1, 1, 1, 1, 1, rise, rise, bend, bend, curveTwist(ratio), -1, -1];
  // With a set output the operator's answers are in the air: where others tell the curve they must not flatten it.
  if (!setpoint) pool.measuredBlocks++;
  const told = unread || (setpoint && pool.measuredBlocks > MEASURED_BLOCKS);
  const shape = told ? [pool.elasticity, gun.elasticity, pool.bend, gun.bend, pool.twist] : [];
  const value = block.output - PRIORS.supplementary.mean * side;
  // What a set value leaves open has other reasons than runs.
  const runs = setpoint ? 0 : block.runs;
  const pooled = !setpoint && isScalePull(block);
  if (pooled && gun.pooled === 0) gun.scatter = RUN_SCATTER.timed;
  const scatter = runs > 0 ? blockScatter(gun.scatter, runs, block.outputVariance) : block.outputVariance;
  const variance = scatter + (PRIORS.supplementary.sd * side) ** 2 + (setpoint ? PRIORS.setBlock : PRIORS.block) ** 2;
  const noise = variance * Math.min(Math.max(gun.unrest, 1), 9);
  if (kind === 'setpoint' && isHeldAir(pool, gun, block)) {
    const { mean, variance } = expectation(pool.gaussian, indices, coefficients, noise);
    if (value > mean - CLEAR_LOSS * Math.sqrt(variance)) return null;
  }
  if (gun.proof !== null) {
    gatherProof(pool, gun, indices, coefficients, value, block.minutes / 60);
    return null;
  }
  if (isBoxTrouble(pool, gun, indices, coefficients, value, noise, unread ? OTHER_RECIPE : BOX_TROUBLE)) return null;
  if (unread && gun.odd > OTHER_RECIPE.blocks) {
    decayQuantity(pool.gaussian, gun.level, 1, OTHER_RECIPE.sd ** 2);
    gun.odd = 0;
  }
  gatherGain(pool, gun, indices, coefficients, value, block.minutes / 60);
  const { mean } = pool.gaussian;
  const ofGun = mean[gun.level]! + mean[own]! - mean[gun.leak]!;
  const innovation = observe(
    pool.gaussian,
    indices,
    coefficients,
    value,
    noise,
    2.5,
    unread ? [] : tracesOf(pool, gun, powder, block),
    unread ? [pool.level, ...shape] : shape,
  );
  // Nothing heals: an insert wears, and has not gained.
  liftTo(pool.gaussian, [pool.rate, gun.gunRate, gun.lifeRate], LEAST_RATE * PRIORS.rate.mean);
  liftTo(pool.gaussian, [gun.wear], 0);
  if (setpoint && !unread) liftTo(pool.gaussian, [pool.elasticity, gun.elasticity], LEAST_SET_ELASTICITY);
  const deviation = innovation.value / Math.sqrt(innovation.variance);
  if (!unread) {
    considerCommon(pool, block.gun, block.powder, deviation, block.end);
    hearLot(pool, powder, block.gun, innovation);
    considerLot(pool, powder, block.gun, deviation, block.end);
  }
  if (another && !unread) gun.hidden = learnHidden(gun.hidden, innovation);
  if (runs > 0)
    gun.scatter = learnScatter(gun.scatter, runs, innovation, scatter, pooled ? scatterBlocks(gun) : undefined);
  const square = Math.min((innovation.value * innovation.value) / innovation.variance, 9);
  gun.unrest += (square - gun.unrest) / UNREST_BLOCKS;
  return { value: innovation.value, variance: innovation.variance, level: innovation.value + ofGun, noise };
}
