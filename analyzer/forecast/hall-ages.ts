import { normalCdf } from '../stats/normal.ts';

/** What is known of the insert that a gun had when it was first seen. */
export type MetInsert =
  /** Logged as new by then. */
  | { readonly kind: 'new' }
  /** Changed since: what it had lost at first sight, ln of output, by what the change brought back; null where that is not known. */
  | { readonly kind: 'changed'; readonly lost: number | null }
  /** Still in: share of a usual limit by which it has worn since. */
  | { readonly kind: 'in'; readonly worn: number };

/** Shares of the limit that an insert may have used at first sight, for which beliefs are weights. */
export const SHARES: readonly number[] = Array.from({ length: 20 }, (_, i) => (i + 0.5) / 20);

/** A way in which the ages of a hall's inserts may go together. */
export interface HallAges {
  /** ln of how likely it is, by what changes and the lack of them said; not normed. */
  readonly log: number;
  /** Chance of each of SHARES for an insert of this hall. */
  readonly chances: readonly number[];
  /** Mean and variance of the share of each insert that is still in, in the order given; null for the others. */
  readonly stillIn: readonly (Moments | null)[];
}

export interface Moments {
  readonly mean: number;
  readonly variance: number;
}

/**
 * Any share up to this one is as likely for inserts that are changed one by one, because they are met at any time of their lives and people change
 * them before the limit. Source: own choice.
 */
const MOST_USED = 0.8;
/**
 * Ways for ages to go together and how likely they are: each insert at any age, all new, all about as old, because they were changed together.
 * Source: own choice: mostly each by itself; a hall is as often measured from its start or an overhaul on as some time after one.
 */
const EACH = 0.6;
const TOGETHER = 0.2;
const NEW = { mean: 0.02, sd: 0.05 };
const ALIKE = { means: [0.2, 0.4, 0.6], sd: 0.12 };
/** Where inserts were logged as new when the readings began, the log was kept: what it does not name is a tenth as likely to have been put in then. Source: own choice. */
const IN_SPITE_OF_LOG = 0.1;
/** Share of the limit at which people change inserts, and its deviation, wide because limits differ too. Source: own choice, as past lives have "worn" about the limit. */
const CHANGED = { mean: 1.1, sd: 0.2 };
/** Usual loss at the limit, ln output, for guns that are only compared with. Source: 20 % of air at an elasticity of 1.45. */
export const USUAL_LIMIT = 1.45 * Math.log(1.2);
/** Deviation of a loss that a change brought to light, ln output. Source: own choice: two readings of a level, weeks apart. */
const BROUGHT_BACK_SD = 0.06;
/** What no way explains may still be: a change in vain, a wrong entry. Source: own choice. */
const LEAST = 1e-4;

const normed = (weights: readonly number[]): number[] => {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
};
const bell = (mean: number, sd: number): number[] =>
  normed(SHARES.map((share) => Math.exp(-0.5 * ((share - mean) / sd) ** 2)));

const WAYS = [
  { prior: EACH, together: false, chances: normed(SHARES.map((share) => (share < MOST_USED ? 1 : 0))) },
  { prior: TOGETHER, together: true, chances: bell(NEW.mean, NEW.sd) },
  ...ALIKE.means.map((mean) => ({
    prior: TOGETHER / ALIKE.means.length,
    together: true,
    chances: bell(mean, ALIKE.sd),
  })),
];

/**
 * How the ages of the inserts of a hall may go together, and how likely each way is: by what changed inserts turn out to have lost, and by how
 * long none is changed. Where all were new and nobody logged it, that is what tells.
 *
 * @param inserts those that the other guns had at first sight
 * Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), chapter 22, finite mixtures.
 * @example
 * hallAges([]).length; // 5
 */
export function hallAges(inserts: readonly MetInsert[]): HallAges[] {
  const logKept = inserts.some(({ kind }) => kind === 'new');
  // How likely each share is for what is known of an insert, whatever the way.
  const told = inserts.map((insert) => {
    if (insert.kind === 'in') return SHARES.map((share) => stillInAt(share + insert.worn));
    if (insert.kind === 'new' || insert.lost === null) return null;
    const used = insert.lost / USUAL_LIMIT;
    const sd = BROUGHT_BACK_SD / USUAL_LIMIT;
    return SHARES.map((share) => Math.exp(-0.5 * ((share - used) / sd) ** 2));
  });
  return WAYS.map(({ prior, together, chances }) => {
    let log = Math.log(together && logKept ? prior * IN_SPITE_OF_LOG : prior);
    const stillIn = inserts.map(({ kind }, place) => {
      const likely = told[place] ?? null;
      if (likely === null) return null;
      let sum = 0;
      let mean = 0;
      let square = 0;
      for (let i = 0; i < SHARES.length; i++) {
        const weight = chances[i]! * likely[i]!;
        sum += weight;
        mean += weight * SHARES[i]!;
        square += weight * SHARES[i]! ** 2;
      }
      log += Math.log(sum + LEAST);
      if (kind !== 'in') return null;
      mean /= sum;
      return { mean, variance: square / sum - mean * mean };
    });
    return { log, chances, stillIn };
  });
}

const stillInAt = (share: number): number => Math.max(normalCdf((CHANGED.mean - share) / CHANGED.sd), LEAST);
