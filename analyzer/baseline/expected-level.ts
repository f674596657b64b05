import { LEVEL_STEP, LEVELS, REACH } from './level-grid.ts';
import { leakIn, type UnreadPowder } from './unread-powder.ts';

/** ln of output that is expected of the next block if nothing changes: the level less the leak. */
export function expectedLevel(state: UnreadPowder): number {
  const { belief } = state;
  let level = -leakIn(state).mean;
  for (let at = 0; at < belief.length; at++) level += belief[at]! * ((at % LEVELS) - REACH) * LEVEL_STEP;
  return level;
}
