import { type GunView, hoursLeftByLives } from '../../analyzer/index.ts';
import type { Finding } from '../../collector/contract/index.ts';
import type { Basis } from '../shop/basis.ts';
import { LifeDesk } from '../shop/life-desk.ts';
import { narrowestLives } from './narrowest-lives.ts';
import { UpkeepDesk } from './upkeep-desk.ts';

/** The maintenance loop over a site's store: in the service and on the command line alike. */
export function openUpkeep(
  basis: Basis,
  more: { readonly findings: () => readonly Finding[]; readonly changed: () => void },
): UpkeepDesk {
  const { store, plant, now } = basis;
  const lives = new LifeDesk(basis);
  const statistics = narrowestLives(lives);
  let known: { findings: readonly Finding[]; views: readonly GunView[] } | null = null;
  return new UpkeepDesk({
    ...{ store, plant, now, changed: more.changed },
    knows: () => {
      const findings = more.findings();
      const views = basis.views();
      if (known?.findings !== findings || known.views !== views) known = { findings, views };
      return known;
    },
    life: (gun, part, sprayHours) => {
      const found = statistics(gun, part);
      return found && { of: found.of, left: hoursLeftByLives(found.fit, sprayHours) };
    },
  });
}
