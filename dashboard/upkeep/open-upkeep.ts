import { type GunView, hoursLeftByLives, type LifeStatistics } from '../../analyzer/index.ts';
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
  // One fit for all guns: a fit takes milliseconds, and every part of every gun asks.
  let fits = { of: lives.lives(), parts: new Map<PartId, LifeStatistics>() };
  const statistics = (part: PartId): LifeStatistics => {
    const of = lives.lives();
    if (fits.of !== of) fits = { of, parts: new Map() };
    const fitted = fits.parts.get(part) ?? lives.ofPart(part);
    fits.parts.set(part, fitted);
    return fitted;
  };
  let known: { findings: readonly Finding[]; views: readonly GunView[] } | null = null;
  return new UpkeepDesk({
    ...{ store, plant, now, changed: more.changed },
    knows: () => {
      const findings = more.findings();
      const views = basis.views();
      if (known?.findings !== findings || known.views !== views) known = { findings, views };
      return known;
    },
    life: (_gun, part, sprayHours) => {
      const { enough, fit } = statistics(part);
      return enough === 'enough' && fit !== null ? hoursLeftByLives(fit, sprayHours) : null;
    },
  });
}
