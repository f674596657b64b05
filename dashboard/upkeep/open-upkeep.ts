import { type GunView, type HoursLeft, hoursLeftByLives } from '../../analyzer/index.ts';
import type { Finding, PartId } from '../../collector/contract/index.ts';
import type { Basis } from '../shop/basis.ts';
import { LifeDesk } from '../shop/life-desk.ts';
import { UpkeepDesk } from './upkeep-desk.ts';

/** The maintenance loop over a site's store: in the service and on the command line alike. */
export function openUpkeep(
  basis: Basis,
  more: { readonly findings: () => readonly Finding[]; readonly changed: () => void },
): UpkeepDesk {
  const { store, plant, now } = basis;
  const lives = new LifeDesk(basis);
  let known: { findings: readonly Finding[]; views: readonly GunView[] } | null = null;
  return new UpkeepDesk({
    ...{ store, plant, now, changed: more.changed },
    knows: () => {
      const findings = more.findings();
      const views = basis.views();
      if (known?.findings !== findings || known.views !== views) known = { findings, views };
      return known;
    },
    life: (_gun, part, sprayHours) => lifeLeft(lives, part, sprayHours),
  });
}

/** Only where there are enough lives to go by. */
function lifeLeft(lives: LifeDesk, part: PartId, sprayHours: number): HoursLeft | null {
  const { enough, fit } = lives.ofPart(part);
  return enough === 'enough' && fit !== null ? hoursLeftByLives(fit, sprayHours) : null;
}
