import type { WallGun } from '../../server/wall-model.ts';
import { age } from '../words/ages.ts';
import { type Mark, needsSomeone } from '../words/states.ts';

/** What the figures of a gun's row say. */
export type RowFigures =
  | {
      readonly kind: 'values';
      readonly wearLeft: number | null;
      readonly actualAir: number | null;
      readonly neededAir: number | null;
    }
  | { readonly kind: 'learning'; readonly have: number; readonly need: number }
  | { readonly kind: 'silent'; readonly sinceMs: number }
  | { readonly kind: 'never' };

export interface GunRowModel {
  readonly mark: Mark;
  /** False when the mark is only the last one known: it is then drawn empty. */
  readonly markIsCurrent: boolean;
  readonly figures: RowFigures;
  /** Age of the newest reading; null where it would be no news or not true. */
  readonly age: string | null;
}

/** True when the station's readings have stayed out for longer than its reporting allows. */
export function isSilent(gun: Pick<WallGun, 'newest' | 'lostAfterMs'>, nowMs: number): boolean {
  return gun.newest !== null && nowMs - gun.newest > gun.lostAfterMs;
}

/**
 * What a gun's row says at `nowMs` (service's clock, epoch ms). Old figures are not shown as new: a silent gun
 * shows since when it is silent in their place, and only its last mark, drawn empty.
 */
export function gunRowModel(gun: WallGun, nowMs: number): GunRowModel {
  const mark: Mark = gun.state ?? 'unknown';
  if (gun.newest === null)
    return { mark: needsSomeone(mark) ? mark : 'unknown', markIsCurrent: false, figures: { kind: 'never' }, age: null };
  if (isSilent(gun, nowMs)) {
    const shown = needsSomeone(mark) ? mark : 'unknown';
    return { mark: shown, markIsCurrent: false, figures: { kind: 'silent', sinceMs: gun.newest }, age: null };
  }
  const { learning, wearLeft, actualAir, neededAir } = gun;
  const figures: RowFigures =
    learning && wearLeft === null
      ? { kind: 'learning', have: learning.have, need: learning.need }
      : { kind: 'values', wearLeft, actualAir, neededAir };
  return { mark, markIsCurrent: true, figures, age: age(nowMs - gun.newest) };
}
