import { LEAKS } from './leak-grid.ts';
import { LEVELS } from './level-grid.ts';
import type { UnreadPowder } from './unread-powder.ts';

/** Share of leaks that a change of seals ends, and of what passes for one that a change of the hose does. Source: own choice; handbook section 2, a kink costs suction too. */
const CURED = { seals: 0.85, hose: 0.3 };

/** Seals, or a hose, were changed: what leaked has most likely ended, or perhaps. */
export function curesUnread({ belief }: UnreadPowder, part: keyof typeof CURED): void {
  const share = CURED[part];
  for (let leak = 1; leak < LEAKS.length; leak++)
    for (let i = 0; i < LEVELS; i++) {
      const at = leak * LEVELS + i;
      belief[i] = belief[i]! + share * belief[at]!;
      belief[at] = (1 - share) * belief[at]!;
    }
}
