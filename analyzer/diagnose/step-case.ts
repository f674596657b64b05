import type { GunMemory } from '../baseline/gun-memory.ts';
import type { StepCase } from '../baseline/step-case.ts';

const HOUR = 3_600_000;
/** A step this near to a refit or hose change may be its doing. Source: own choice: before, as log times are rounded; after, the first use and the few blocks that a chart needs to date it. */
const BEFORE_MS = 0.5 * HOUR;
const AFTER_MS = 4 * HOUR;
/** The same for a change of powder. Source: own choice, some three blocks. */
const POWDER_MS = 0.75 * HOUR;

/** What a step begins as: what the log and the powder did at about the same time. */
export function newStepCase(
  memory: GunMemory,
  now: number,
  { onset, upward, powder, common }: Pick<StepCase, 'onset' | 'upward' | 'powder' | 'common'>,
): StepCase {
  const near = (time: number): boolean => onset - time < AFTER_MS && time - onset < BEFORE_MS;
  return {
    onset,
    noticed: now,
    atHours: memory.sprayHours,
    upward,
    refitOdds: refitOdds(memory, near),
    hoseWork: memory.log.some(
      ({ part, time }) => (part === 'powder-hose' || part === 'gun-tube' || part === 'gun-seals') && near(time),
    ),
    powderChange: Math.abs(onset - memory.powderSince) < POWDER_MS,
    powder,
    elsewhere: 0,
    common,
    unread: false,
    peak: 0,
    tried: [],
    size: 0,
    last: 0,
    calmFrom: 0,
    fadingFrom: 0,
  };
}

/** Share of leaks that begin with a refit, hours of work that tell how usual refits are, and the least share that they cover. Source: own choice; handbook section 2 says "often at a refit". */
const AT_REFIT = { share: 0.6, workHours: 80, least: 0.2 };

/** How much likelier a leak of the pump is for a refit just before; little where refits are daily work. 1 without one. */
function refitOdds({ log }: GunMemory, near: (time: number) => boolean): number {
  const refits = log.filter(({ part, action }) => part === 'pump-seals' && action !== 'inspected');
  if (!refits.some(({ time }) => near(time))) return 1;
  const covered = (refits.length * (AFTER_MS / HOUR)) / AT_REFIT.workHours;
  return Math.max(1, AT_REFIT.share / Math.max(covered, AT_REFIT.least));
}
