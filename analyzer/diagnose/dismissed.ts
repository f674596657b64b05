import { isSameChange } from '../../collector/contract/index.ts';
import type { Bench } from './site-view.ts';

/**
 * Whether people said that there was no such change.
 *
 * @param part part that the change would have been of
 * @param time when it would have been, epoch ms
 */
export function isDismissed({ memory, dismissals }: Bench, part: string, time: number): boolean {
  return dismissals.some((one) => isSameChange(one, { gun: memory.id, part, time }));
}
