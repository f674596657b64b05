import { isSameChange } from '../../collector/contract/index.ts';
import type { Bench } from './site-view.ts';

/** A change shows again while level and belief follow it: within so long it is the same one, ms. Source: own choice, four days; inserts last for weeks. */
export const SHOWS_AGAIN_MS = 4 * 86_400_000;

/**
 * Whether people said that there was no such change: of one shown then, or of one before that shows again.
 *
 * @param part part that the change would have been of
 * @param time when it would have been, epoch ms
 */
export function isDismissed({ memory, dismissals }: Bench, part: string, time: number): boolean {
  return dismissals.some((one) => {
    const later = time - one.time;
    if (later <= 0) return isSameChange(one, { gun: memory.id, part, time });
    return one.gun === memory.id && one.part === part && later < SHOWS_AGAIN_MS;
  });
}
