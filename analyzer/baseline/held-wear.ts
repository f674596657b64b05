import type { PumpGun, PumpPool } from './pump-pool.ts';

/**
 * Wear of an insert as far as inserts can wear. A leak that comes at once is taken for wear by and by, within a shift, and what its gun gave before is then
 * expected of it no more: what follows leaks beside powders that are not read has to know how much of the wear believed came too fast. Part of the pipeline's state.
 */
export interface HeldWear {
  /** Wear (ln output) as held, and as believed at the last block. */
  held: number;
  believed: number;
}

/**
 * Fastest wear that is followed, ln output per spray hour, and over the gun's own usual rate. Source: handbook section 2's interval of some 50 spray hours to a loss of 0.3 is 0.006;
 * half as fast again. Half and twice as much found the same leaks in simulated halls.
 */
const FASTEST = { usual: 0.009, overOwn: 1.5 };
/** Believed wear may be found too high sooner than wear comes. Source: own choice, readings overrule a belief within hours. */
const BACK = 3;
/** A belief that falls so far from one block to the next is a new insert, ln output. Source: own choice, above what a block changes. */
const NEW_INSERT = 0.04;

/** Takes the wear believed after a block in. @returns ln of output by which it came too fast */
export function holdWear(state: HeldWear, believed: number, hours: number, usualPerHour: number): number {
  const most = hours * Math.max(FASTEST.usual, FASTEST.overOwn * usualPerHour);
  const fresh = believed < state.believed - NEW_INSERT;
  state.held = fresh ? believed : state.held + Math.max(-BACK * most, Math.min(most, believed - state.held));
  state.believed = believed;
  return believed - state.held;
}

/** How fast inserts of this gun wear, ln of output per spray hour: what the present one is thought to do besides is left out. */
export function usualWearPerHour(
  { gaussian: { mean }, rate }: PumpPool,
  { gunRate }: PumpGun,
  clockPerHour: number,
): number {
  return (mean[rate]! + mean[gunRate]!) * clockPerHour;
}
