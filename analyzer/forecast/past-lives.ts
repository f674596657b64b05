import type { Found } from '../../collector/contract/index.ts';

/** An insert that was logged as new and as taken out: what went through it (wear clock) and what it was found. */
export interface PastLife {
  readonly clock: number;
  readonly found: Found;
}

/** What past lives say of this one: ln of the wear clock at which its insert has to go, and its deviation. */
export interface LifeBelief {
  readonly log: number;
  readonly sd: number;
}

/**
 * Share of the limit at which people take out what they find so (ln), and its deviation. Source: own choice: worn is about the limit,
 * failed well beyond it; inserts found good tell only that the limit lies farther, and are left out.
 */
const FOUND_AT: Partial<Record<Found, readonly [number, number]>> = { worn: [-0.03, 0.15], failed: [0.22, 0.2] };
/** Deviations of ln clock at the limit: from insert to insert of a gun, and from gun to gun. Source: own choice, as PRIORS has the rates. */
const LIFE_SD = 0.25;
const GUN_SD = 0.22;
/** Lives that the deviation from insert to insert counts for before any was seen. Source: own choice. */
const PRIOR_LIVES = 4;

/**
 * The wear clock at which an insert of a gun has to go, from this gun's past inserts and those of the others: a one-way layout with
 * random effects. A gun's mean is drawn towards that of all by how little it is known.
 *
 * @param lives past lives by gun
 * @returns null while no life of any gun is complete
 * Source: C. R. Henderson (1975), Biometrics 31, best linear unbiased prediction; the deviation within guns pooled with a prior.
 * @example
 * lifeBelief(new Map([['gun-01', [{ clock: 1, found: 'worn' }]]]), 'gun-01').log; // 0.03
 */
export function lifeBelief(lives: ReadonlyMap<string, readonly PastLife[]>, gunId: string): LifeBelief | null {
  const groups = new Map<string, number[]>();
  let squares = PRIOR_LIVES * LIFE_SD ** 2;
  let freedom = PRIOR_LIVES;
  for (const [gun, past] of lives) {
    const logs = past.flatMap(({ clock, found }) => {
      const at = FOUND_AT[found];
      return at === undefined || !(clock > 0) ? [] : [Math.log(clock) - at[0]];
    });
    if (logs.length === 0) continue;
    groups.set(gun, logs);
    const mean = meanOf(logs);
    for (const log of logs) squares += (log - mean) ** 2;
    freedom += logs.length - 1;
  }
  if (groups.size === 0) return null;
  // What people find spreads the logs too, so this holds both.
  const within = squares / freedom + (freedom === PRIOR_LIVES ? FOUND_AT.worn![1] ** 2 : 0);
  let weights = 0;
  let sum = 0;
  for (const logs of groups.values()) {
    const weight = 1 / (GUN_SD ** 2 + within / logs.length);
    weights += weight;
    sum += weight * meanOf(logs);
  }
  const all = sum / weights;
  const own = groups.get(gunId);
  const share = own === undefined ? 0 : GUN_SD ** 2 / (GUN_SD ** 2 + within / own.length);
  const log = own === undefined ? all : all + share * (meanOf(own) - all);
  const variance = GUN_SD ** 2 * (1 - share) + (1 - share) ** 2 / weights + within;
  return { log, sd: Math.sqrt(variance) };
}

const meanOf = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0) / values.length;
