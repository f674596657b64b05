import type { Block } from './block.ts';
import {
  addQuantity,
  addTrace,
  decayQuantity,
  emptyGaussian,
  expectation,
  type GaussianState,
  type Innovation,
  moveQuantity,
  observe,
  resetQuantity,
  restartTrace,
  takeStep,
} from './gaussian-state.ts';
import { curveBend, curveRise, curveTwist } from './pump-curve.ts';
import { PRIORS } from './pump-priors.ts';

/** Where the quantities of one gun stand in the pool's joint belief. */
export interface PumpGun {
  level: number;
  elasticity: number;
  bend: number;
  wear: number;
  gunRate: number;
  lifeRate: number;
  shift: number;
  week: number;
  leak: number;
  powders: Record<string, number>;
  /** End of the last block, epoch ms. */
  time: number;
  /** Output of the last block, ln: a set output that changed is another recipe. */
  recipe: number;
  /** Running mean of squared innovations over their variance: above 1 where this gun is noisier than believed. */
  unrest: number;
  /** Blocks in a row that were so far off that the box is to blame. */
  odd: number;
  /** How supplementary air goes with conveying air at this gun: running means, variance and covariance, m3/h. */
  practice: { weight: number; flow: number; supplementary: number; variance: number; covariance: number };
  setpoint: boolean;
  /** Traces that follow a step to the worse and one to the better. */
  traces: [number, number];
}

export interface PumpPowder {
  effect: number;
  lot: number;
  abrasiveness: number;
  lastSeen: number;
  /** Trace of a new lot that may have come with the present campaign. */
  trace: number;
}

/**
 * One joint belief about the pumping effect of guns that can teach each other: the site's curve, each gun's level
 * and wear, each powder's effect and lot, and the nuisances that come and go. Joint, because an insert of unknown age
 * is judged by the level of the others, a lot shows on all guns that spray it, and wear while learning must not pass
 * for a flat curve.
 */
export interface PumpPool {
  gaussian: GaussianState;
  /** Conveying air at which levels are compared, m3/h; 0 before the first block. */
  reference: number;
  level: number;
  elasticity: number;
  bend: number;
  twist: number;
  rate: number;
  site: number;
  siteTime: number;
  guns: Record<string, PumpGun>;
  powders: Record<string, PumpPowder>;
}

export function emptyPumpPool(): PumpPool {
  const gaussian = emptyGaussian();
  const add = (mean: number, sd: number): number => addQuantity(gaussian, mean, sd * sd);
  return {
    gaussian,
    reference: 0,
    level: add(PRIORS.level.mean, PRIORS.level.sd),
    elasticity: add(PRIORS.elasticity.mean, PRIORS.elasticity.sd),
    bend: add(PRIORS.bend.mean, PRIORS.bend.sd),
    twist: add(PRIORS.twist.mean, PRIORS.twist.sd),
    rate: add(PRIORS.rate.mean, PRIORS.rate.sd),
    site: add(0, PRIORS.site.sd),
    siteTime: 0,
    guns: {},
    powders: {},
  };
}

function ensureGun(pool: PumpPool, block: Block, setpoint: boolean, newInsert: boolean): PumpGun {
  const known = pool.guns[block.gun];
  if (known !== undefined) return known;
  const add = (mean: number, sd: number): number => addQuantity(pool.gaussian, mean, sd * sd);
  const gun: PumpGun = {
    level: add(0, PRIORS.gunLevel),
    elasticity: add(0, PRIORS.gunElasticity),
    bend: add(0, PRIORS.gunBend),
    wear: newInsert ? add(0, PRIORS.newWear) : add(PRIORS.firstWear.mean, PRIORS.firstWear.sd),
    gunRate: add(0, PRIORS.gunRate),
    lifeRate: add(0, PRIORS.lifeRate),
    shift: add(0, setpoint ? PRIORS.notch.sd : PRIORS.shift.sd),
    week: add(0, PRIORS.week.sd),
    leak: add(0, 0.003),
    powders: {},
    time: block.start,
    recipe: block.output,
    unrest: 1,
    odd: 0,
    practice: { weight: 0, flow: 0, supplementary: 0, variance: 0, covariance: 0 },
    setpoint,
    traces: [addTrace(pool.gaussian), addTrace(pool.gaussian)],
  };
  pool.guns[block.gun] = gun;
  return gun;
}

function ensurePowder(pool: PumpPool, block: Block): PumpPowder {
  let powder = pool.powders[block.powder];
  if (powder === undefined) {
    const first = Object.keys(pool.powders).length === 0;
    powder = {
      effect: addQuantity(pool.gaussian, 0, first ? 1e-8 : PRIORS.powder ** 2),
      lot: addQuantity(pool.gaussian, 0, PRIORS.lot ** 2),
      abrasiveness: addQuantity(pool.gaussian, 1, first ? 1e-8 : PRIORS.abrasiveness ** 2),
      lastSeen: block.start,
      trace: addTrace(pool.gaussian),
    };
    pool.powders[block.powder] = powder;
  }
  return powder;
}

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
  decayQuantity(gaussian, index, factor, (1 - factor * factor) * nuisance.sd ** 2);
}

/** Lets time pass for what comes and goes: shift, week, site, and a powder's lot when it starts a new campaign. */
function passTime(pool: PumpPool, gun: PumpGun, powder: PumpPowder, block: Block): void {
  const { gaussian } = pool;
  const elapsed = block.end - gun.time;
  decay(gaussian, gun.shift, elapsed, gun.setpoint ? PRIORS.notch : PRIORS.shift);
  decay(gaussian, gun.week, elapsed, PRIORS.week);
  if (block.powder === '' && block.start - gun.time > PRIORS.hidden.pauseMinutes * 60_000) {
    const { sd, chance } = PRIORS.hidden;
    decayQuantity(gaussian, gun.powders['']!, Math.sqrt(1 - chance), chance * sd * sd);
  }
  if (pool.siteTime > 0) decay(gaussian, pool.site, block.end - pool.siteTime, PRIORS.site);
  if (block.start - powder.lastSeen > CAMPAIGN_GAP_MS) {
    decayQuantity(gaussian, powder.lot, 1, PRIORS.lotDrift ** 2);
    const trace = gaussian.traces[powder.trace]!;
    if (!trace.active) restartTrace(trace, true);
  }
  pool.siteTime = Math.max(pool.siteTime, block.end);
  powder.lastSeen = Math.max(powder.lastSeen, block.end);
  gun.time = Math.max(gun.time, block.end);
}

/** A powder wears at least this share of the first, and an insert at this share of a usual rate: nothing heals. Source: own choice. */
const LEAST_WEAR = 0.1;

/**
 * What a block puts through an insert: hundreds of kilograms, times velocity, times the powder's abrasiveness.
 *
 * @returns wear clock, 100 kg at the reference velocity with the site's first powder
 */
export function wearClock(pool: PumpPool, powderId: string, kilograms: number, logFlow: number): number {
  if (!(kilograms > 0) || pool.reference === 0) return 0;
  const powder = pool.powders[powderId];
  const velocity = Math.min(Math.exp(logFlow) / pool.reference, 3);
  const abrasiveness = powder === undefined ? 1 : Math.max(pool.gaussian.mean[powder.abrasiveness]!, LEAST_WEAR);
  return (kilograms / 100) * velocity ** PRIORS.velocityPower * abrasiveness;
}

/**
 * Wears a gun's insert by what went through it, as fast as this gun, life and powder are believed to.
 *
 * @param kilograms of powder, measured or reckoned from the spray time
 * @param logFlow ln of conveying air, m3/h
 */
export function wearInsert(pool: PumpPool, gunId: string, powderId: string, kilograms: number, logFlow: number): void {
  const gun = pool.guns[gunId];
  const powder = pool.powders[powderId] ?? Object.values(pool.powders)[0];
  const clock = wearClock(pool, powderId, kilograms, logFlow);
  if (gun === undefined || powder === undefined || clock === 0) return;
  const { gaussian } = pool;
  const { mean } = gaussian;
  const rate = mean[pool.rate]! + mean[gun.gunRate]! + mean[gun.lifeRate]!;
  const amount = Math.max(rate, LEAST_WEAR * PRIORS.rate.mean) * clock;
  const byPowder = amount / Math.max(mean[powder.abrasiveness]!, LEAST_WEAR);
  // Strays go with what a usual insert would have worn, so that a rate believed small does not silence the readings.
  const share = (PRIORS.rate.mean * clock) / PRIORS.usualLife;
  moveQuantity(
    gaussian,
    gun.wear,
    amount,
    [pool.rate, gun.gunRate, gun.lifeRate, powder.abrasiveness],
    [clock, clock, clock, byPowder],
    PRIORS.wearStray ** 2 * share,
  );
  decayQuantity(gaussian, gun.lifeRate, 1, PRIORS.rateStray ** 2 * share);
}

/** Blocks that a gun's practice remembers, and the variance of flow below which no slope is believed, (m3/h)². Source: own choice. */
const PRACTICE_BLOCKS = 200;
const PRACTICE_RIDGE = 0.02;

/**
 * Supplementary air beyond what this gun usually has at this conveying air, m3/h. Many units hold the total, so that it
 * falls as conveying air rises: the curve is learnt along that line, and only what departs from it counts beside.
 */
function unusualSupplementary({ practice }: PumpGun, flow: number, supplementary: number): number {
  if (!Number.isFinite(supplementary)) return 0;
  const slope = practice.covariance / (practice.variance + PRACTICE_RIDGE);
  const off = practice.weight === 0 ? 0 : supplementary - practice.supplementary - slope * (flow - practice.flow);
  practice.weight = Math.min(practice.weight + 1, PRACTICE_BLOCKS);
  const share = 1 / practice.weight;
  const flowOff = flow - practice.flow;
  const sideOff = supplementary - practice.supplementary;
  practice.flow += share * flowOff;
  practice.supplementary += share * sideOff;
  practice.variance += share * ((1 - share) * flowOff * flowOff - practice.variance);
  practice.covariance += share * ((1 - share) * flowOff * sideOff - practice.covariance);
  return off;
}

/** Output that far off (ln, and deviations) is a box run empty or bridging, a purge or a refill, not the pump; for so many blocks. Source: own choice, above what 15 % of air costs. */
const BOX_TROUBLE = { off: 0.33, deviations: 5, blocks: 15 };

/** True for a block whose output is so far off that the box is to blame; false again when it stays so for hours. */
function isBoxTrouble(
  pool: PumpPool,
  gun: PumpGun,
  indices: readonly number[],
  coefficients: readonly number[],
  value: number,
  noise: number,
): boolean {
  const expected = expectation(pool.gaussian, indices, coefficients, noise);
  const off = Math.abs(value - expected.mean);
  const odd = off > BOX_TROUBLE.off && off > BOX_TROUBLE.deviations * Math.sqrt(expected.variance);
  gun.odd = odd ? gun.odd + 1 : 0;
  return odd && gun.odd <= BOX_TROUBLE.blocks;
}

/**
 * Takes a new lot in once it is beyond doubt that this campaign brought one, and gives the suspicion up once that is
 * beyond doubt. Lots change rarely and at once: a lot that may drift every day would swallow the wear that guns share.
 */
function considerLot(pool: PumpPool, powder: PumpPowder): void {
  const { gaussian } = pool;
  const trace = gaussian.traces[powder.trace]!;
  if (!trace.active) return;
  const { information, score } = trace;
  const variance = 2 * PRIORS.lot ** 2;
  const gain = 1 + information * variance;
  const evidence = 0.5 * ((score * score * variance) / gain - Math.log(gain));
  const odds = (PRIORS.lotChange / (1 - PRIORS.lotChange)) * Math.exp(Math.min(evidence, 50));
  const chance = odds / (1 + odds);
  if (chance > PRIORS.lotSurety) takeStep(gaussian, trace, powder.lot, variance, -1);
  else if (chance < PRIORS.lotDoubt) restartTrace(trace, false);
}

/** ln by which a set output has to change to be another recipe, and how much of the operator's error goes over to it. Source: own choice. */
const RECIPE_CHANGE = 0.03;
const RECIPE_KEEPS = 0.5;
/** Blocks over which a gun's unrest is reckoned. Source: own choice, some two weeks. */
const UNREST_BLOCKS = 150;

/**
 * Takes one block in. Blocks of all guns of the pool come in order of their ends.
 *
 * @param setpoint true when output is what the recipe asks, set apart from the air
 * @param newInsert true when the insert was logged as new before the gun's first block
 * @returns what its output said against what was expected (ln), or null when its output is unknown
 */
export function learnBlock(pool: PumpPool, block: Block, setpoint: boolean, newInsert: boolean): Innovation | null {
  if (!Number.isFinite(block.output)) return null;
  if (pool.reference === 0) pool.reference = Math.sqrt(Math.exp(block.flow) * USUAL_FLOW);
  const gun = ensureGun(pool, block, setpoint, newInsert);
  const powder = ensurePowder(pool, block);
  let own = gun.powders[block.powder];
  if (own === undefined) {
    own = addQuantity(pool.gaussian, 0, (block.powder === '' ? PRIORS.hidden.sd : PRIORS.gunPowder) ** 2);
    gun.powders[block.powder] = own;
  }
  passTime(pool, gun, powder, block);
  const ratio = Math.exp(block.flow) / pool.reference;
  const rise = curveRise(ratio);
  const bend = curveBend(ratio);
  if (setpoint && Math.abs(block.output - gun.recipe) > RECIPE_CHANGE)
    decayQuantity(pool.gaussian, gun.shift, RECIPE_KEEPS, (1 - RECIPE_KEEPS ** 2) * PRIORS.notch.sd ** 2);
  gun.recipe = block.output;
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
  const value = block.output - PRIORS.supplementary.mean * side;
  const variance =
    block.outputVariance + (PRIORS.supplementary.sd * side) ** 2 + (setpoint ? PRIORS.setBlock : PRIORS.block) ** 2;
  const noise = variance * Math.min(Math.max(gun.unrest, 1), 9);
  if (isBoxTrouble(pool, gun, indices, coefficients, value, noise)) return null;
  const innovation = observe(pool.gaussian, indices, coefficients, value, noise, 2.5, [...gun.traces, powder.trace]);
  considerLot(pool, powder);
  const square = Math.min((innovation.value * innovation.value) / innovation.variance, 9);
  gun.unrest += (square - gun.unrest) / UNREST_BLOCKS;
  return innovation;
}

/** A new insert was fitted: no loss but its own tolerance, and a life with a rate of its own. */
export function fitInsert(pool: PumpPool, gunId: string): void {
  const gun = pool.guns[gunId];
  if (gun === undefined) return;
  resetQuantity(pool.gaussian, gun.wear, 0, PRIORS.newWear ** 2);
  resetQuantity(pool.gaussian, gun.lifeRate, 0, PRIORS.lifeRate ** 2);
}

/** Another part was changed or refitted: the level may have moved a little, the wear stays. */
export function loosenLevel(pool: PumpPool, gunId: string, sd: number): void {
  const gun = pool.guns[gunId];
  if (gun !== undefined) decayQuantity(pool.gaussian, gun.level, 1, sd * sd);
}
