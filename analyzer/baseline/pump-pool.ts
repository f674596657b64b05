import type { Gun } from '../../collector/contract/index.ts';
import type { Block } from './block.ts';
import { addQuantity, addTrace, emptyGaussian, type GaussianState } from './gaussian-state.ts';
import { PRIORS } from './pump-priors.ts';
import { newRegulatorStop, type RegulatorStop } from './regulator-stop.ts';
import { RUN_SCATTER } from './run-scatter.ts';
import { newSharedStarts, type SharedStart } from './shared-starts.ts';
import { newStepStarts, type StepStarts } from './step-starts.ts';

/** What the readings since a logged change of an insert say of it, beside the belief. */
export interface ChangeProof {
  /** All means of the joint belief at the change. */
  readonly mean: number[];
  /** Loss by wear and leak at the change, ln of output, and its deviation. */
  readonly lost: number;
  readonly lostSd: number;
  /** How fast that insert wore beyond the gun's usual rate, as believed at the change. */
  readonly pace: { readonly mean: number; readonly variance: number };
  /** Mean gain of output against that belief, ln, over so many spray hours. */
  gain: number;
  hours: number;
}

/** What was believed of a gun while its output gave no sign of a gain. */
interface CalmBelief {
  /** All means of the joint belief. */
  readonly mean: Float64Array;
  /** Loss by wear and leak together and its deviation, and the part of it that is a leak's, ln of output. */
  lost: number;
  lostSd: number;
  leak: number;
}

/** What the readings since a sudden gain say of it, beside the belief, which takes much of a gain for week, lot and wear before a chart tells of it. */
export interface GainWatch extends CalmBelief {
  /** When the gain began, epoch ms, and the spray hours of the gun when it was noticed. */
  readonly onset: number;
  readonly atHours: number;
  /** Mean gain of output against what was believed before it, ln, over so many spray hours. */
  gain: number;
  hours: number;
}

/** Where the quantities of one gun stand in the pool's joint belief. */
export interface PumpGun {
  level: number;
  elasticity: number;
  bend: number;
  wear: number;
  gunRate: number;
  lifeRate: number;
  /** What went through its inserts so far (100 kg times velocity) in so many spray hours. */
  pace: { through: number; hours: number };
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
  /** Variance of one run's output that is chance, see RUN_SCATTER. */
  scatter: number;
  /** Blocks of a scale that it was learnt from. */
  pooled: number;
  /** Variance of what powders that are not read do to the output, see `learnHidden`. */
  hidden: number;
  /** Blocks in a row that were so far off that the box is to blame. */
  odd: number;
  /** Conveying air lately, m3/h. */
  flow: number;
  /** How supplementary air goes with conveying air at this gun: running means, variance and covariance, m3/h. */
  practice: { weight: number; flow: number; supplementary: number; variance: number; covariance: number };
  /** What people ask is set, read or not, and their air answers late. */
  setpoint: boolean;
  /** The output is set, and the insert that was new when a hand set its air is still in: nothing of its loss was answered at first. */
  unanswered: boolean;
  /** What people ask is not read (a coupled output): the output of blocks is only a stand-in. */
  unread: boolean;
  /** Steps to the worse that may have begun at different times, and the trace of one to the better. */
  losses: StepStarts;
  gain: number;
  /** A logged change of the insert that the readings have not borne out yet. */
  proof: ChangeProof | null;
  /** What was believed when the chart of gains last stood at zero, and a gain that may be an insert changed without a word. */
  calm: CalmBelief | null;
  watch: GainWatch | null;
  /** Whether its regulator stands at its stop: followed where the output is set. */
  stop: RegulatorStop;
}

/** What guns share at once: wet air, weather, another lot. */
export interface CommonStep {
  starts: SharedStart[];
  /** When the last step was taken in, when it began, and the site's effect before it. */
  taken: number;
  onset: number;
  before: number;
}

/** What one gun said since a lot was taken in. */
export interface LotHeard {
  /** ln odds that its output moved with the lot, against that it stayed where it was. */
  odds: number;
  /** Blocks that were asked: later ones say nothing, because the gun's own day takes in what it did not share. */
  blocks: number;
}

export interface PumpPowder {
  effect: number;
  lot: number;
  abrasiveness: number;
  lastSeen: number;
  /** Trace of a new lot that may have come since, whether with a new campaign, and what each gun said for it (Σ of deviations). */
  trace: number;
  traceSince: number;
  campaign: boolean;
  said: Record<string, number>;
  /** What the lot did when that trace began: what is believed follows a new one before it is told. */
  lotAt: number;
  /** When the present lot was taken in, 0 for the first, and what the lot before it did. */
  lotTaken: number;
  lotBefore: number;
  /** The same time once several guns said so; 0 as long as one alone did, whose own it may be. */
  lotSince: number;
  /** What each gun said since then: whether it moved with the lot. */
  lotHeard: Record<string, LotHeard>;
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
  /** Blocks of guns whose output is measured. */
  measuredBlocks: number;
  /** A step that all guns of the line may have taken together, and what each gun said for it. */
  common: CommonStep;
  guns: Record<string, PumpGun>;
  powders: Record<string, PumpPowder>;
}

export function emptyPumpPool(): PumpPool {
  const gaussian = emptyGaussian();
  const add = (mean: number, sd: number): number => addQuantity(gaussian, mean, sd * sd);
  const pool: PumpPool = {
    gaussian,
    reference: 0,
    level: add(PRIORS.level.mean, PRIORS.level.sd),
    elasticity: add(PRIORS.elasticity.mean, PRIORS.elasticity.sd),
    bend: add(PRIORS.bend.mean, PRIORS.bend.sd),
    twist: add(PRIORS.twist.mean, PRIORS.twist.sd),
    rate: add(PRIORS.rate.mean, PRIORS.rate.sd),
    site: add(0, PRIORS.site.sd),
    siteTime: 0,
    measuredBlocks: 0,
    common: { starts: newSharedStarts(gaussian), taken: 0, onset: 0, before: 0 },
    guns: {},
    powders: {},
  };
  return pool;
}

/** Least share of what was believed of a gun's unrest that is taken for granted. Source: own choice: some hundred blocks tell it to a fifth or so. */
const CALMEST = 0.45;

/** Share of the believed variance by which a gun's blocks have spread lately, where that is less: charts of steps are in what a gun really does. */
export const calmOf = ({ unrest }: PumpGun): number => Math.min(1, Math.max(CALMEST, unrest));

/** Mean and deviation of what is believed. */
export interface Moments {
  readonly mean: number;
  readonly sd: number;
}

/** @param first what its insert has lost by then, ln output */
export function ensureGun(pool: PumpPool, block: Block, kind: Gun['output'], first: Moments): PumpGun {
  const known = pool.guns[block.gun];
  if (known !== undefined) return known;
  const setpoint = kind !== 'measured';
  const add = (mean: number, sd: number): number => addQuantity(pool.gaussian, mean, sd * sd);
  const gun: PumpGun = {
    level: add(0, kind === 'coupled' ? PRIORS.unreadLevel : PRIORS.gunLevel),
    elasticity: add(0, setpoint ? PRIORS.setElasticity : PRIORS.gunElasticity),
    bend: add(0, PRIORS.gunBend),
    wear: add(first.mean, first.sd),
    gunRate: add(0, PRIORS.gunRate),
    lifeRate: add(0, PRIORS.lifeRate),
    pace: { through: 0, hours: 0 },
    shift: add(0, setpoint ? PRIORS.notch.sd : PRIORS.shift.sd),
    week: add(0, PRIORS.week.sd),
    leak: add(0, 0.003),
    powders: {},
    time: block.start,
    recipe: block.output,
    unrest: 1,
    scatter: RUN_SCATTER.first,
    pooled: 0,
    hidden: PRIORS.hidden.sd ** 2,
    odd: 0,
    flow: Math.exp(block.flow),
    practice: { weight: 0, flow: 0, supplementary: 0, variance: 0, covariance: 0 },
    setpoint,
    unanswered: kind === 'setpoint' && first.mean === 0,
    unread: kind === 'coupled',
    losses: newStepStarts(pool.gaussian),
    gain: addTrace(pool.gaussian),
    proof: null,
    calm: null,
    watch: null,
    stop: newRegulatorStop(),
  };
  pool.guns[block.gun] = gun;
  return gun;
}

export function ensurePowder(pool: PumpPool, block: Block): PumpPowder {
  let powder = pool.powders[block.powder];
  if (powder === undefined) {
    const first = Object.keys(pool.powders).length === 0;
    powder = {
      effect: addQuantity(pool.gaussian, 0, first ? 1e-8 : PRIORS.powder ** 2),
      lot: addQuantity(pool.gaussian, 0, PRIORS.lot ** 2),
      abrasiveness: addQuantity(pool.gaussian, 1, first ? 1e-8 : PRIORS.abrasiveness ** 2),
      lastSeen: block.start,
      trace: addTrace(pool.gaussian),
      traceSince: block.start,
      campaign: false,
      said: {},
      lotAt: 0,
      lotTaken: 0,
      lotBefore: 0,
      lotSince: 0,
      lotHeard: {},
    };
    pool.powders[block.powder] = powder;
  }
  return powder;
}
