import type { PumpPool, PumpPowder } from './pump-pool.ts';

/** Blocks of a gun that are asked. Source: own choice; a gun that did not move is half taken in by its own day after two or three. */
const ASKED = 3;
/** ln odds from which a gun has moved with the lot or has not, and the most that one block says. Source: own choice: 3 to 1; an outlier decides nothing. */
const MOVED = Math.log(3);
const BLOCK_SAYS = 2;
/** Lots that differ by less tell no gun that moved from one that did not, ln output. Source: own choice, half a normal lot. */
const LEAST_MOVE = 0.03;
/** Guns that have to say so, and the share of those that said anything. Source: own choice; two guns may lose by chance, most do not. */
const LOT_GUNS = 2;
const MOST = 0.7;

/**
 * A lot was taken in: what guns say of it is heard from now on.
 *
 * @param before what the lot before it did, ln output
 * @param shared several guns said so already
 */
export function beginLot(powder: PumpPowder, before: number, shared: boolean, now: number): void {
  powder.lotTaken = now;
  powder.lotBefore = before;
  powder.lotSince = shared ? now : 0;
  powder.lotHeard = {};
}

/** A gun's own signals say that it moved with the lot. */
export function noteMoved(powder: PumpPowder, gun: string): void {
  powder.lotHeard[gun] = { odds: 2 * MOVED, blocks: ASKED };
}

/**
 * Hears what a gun's first blocks with a lot say of it: one that moved with the lot gives what is believed now, one that did not what the lot
 * before gave. The likelihood ratio of the two (J. Neyman, E. S. Pearson (1933), Phil. Trans. R. Soc. A 231, 289).
 *
 * @param innovation of a block, ln output over what was believed before it, and its variance
 */
export function hearLot(
  { gaussian }: PumpPool,
  powder: PumpPowder,
  gun: string,
  innovation: { readonly value: number; readonly variance: number },
): void {
  if (powder.lotTaken === 0) return;
  const heard = powder.lotHeard[gun];
  if (heard !== undefined && heard.blocks >= ASKED) return;
  const move = powder.lotBefore - gaussian.mean[powder.lot]!;
  if (Math.abs(move) < LEAST_MOVE) return;
  const says = (move * (move - 2 * innovation.value)) / (2 * innovation.variance);
  const { odds, blocks } = heard ?? { odds: 0, blocks: 0 };
  powder.lotHeard[gun] = { odds: odds + Math.max(-BLOCK_SAYS, Math.min(BLOCK_SAYS, says)), blocks: blocks + 1 };
  if (powder.lotSince === 0 && isShared(powder)) powder.lotSince = powder.lotTaken;
}

/** True once guns enough moved with the present lot, and most of those that were heard. */
export function isShared(powder: PumpPowder): boolean {
  const moved = movedWithLot(powder).length;
  if (moved < LOT_GUNS) return false;
  const stayed = Object.values(powder.lotHeard).filter(({ odds }) => odds < -MOVED).length;
  return moved >= MOST * (moved + stayed);
}

/** Guns that moved with the present lot. */
export function movedWithLot({ lotHeard }: PumpPowder): string[] {
  return Object.keys(lotHeard).filter((gun) => lotHeard[gun]!.odds > MOVED);
}
