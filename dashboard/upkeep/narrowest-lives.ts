import { type LifeStatistics, type LivesOf, MIXED, type PartLife, UNNAMED } from '../../analyzer/index.ts';
import type { PartId } from '../../collector/contract/index.ts';
import type { LifeDesk } from '../shop/life-desk.ts';

/** A distribution of lives, and whose they are. */
export interface LivesFit {
  readonly of: LivesOf;
  readonly fit: NonNullable<LifeStatistics['fit']>;
}

/**
 * The lives that tell most of a part on a gun: those on this gun where they are enough, else those with the powder family that its
 * present life mostly sprayed, else those on all guns; null where even these are too few.
 */
export function narrowestLives(desk: LifeDesk): (gun: string, part: PartId) => LivesFit | null {
  // A fit takes milliseconds, and every part of every gun asks: each is made once for the lives that are known.
  let made = { of: desk.lives(), fits: new Map<string, LifeStatistics>() };
  const enough = (of: LivesOf, key: string, lives: readonly PartLife[]): LivesFit | null => {
    const known = made.fits.get(key) ?? desk.statisticsOf(lives);
    made.fits.set(key, known);
    return known.enough === 'enough' && known.fit !== null ? { of, fit: known.fit } : null;
  };
  return (gun, part) => {
    const of = desk.lives();
    if (made.of !== of) made = { of, fits: new Map() };
    const lives = of.lives.filter((life) => life.part === part);
    const own = lives.filter((life) => life.gun === gun);
    const family = own.at(-1)?.family ?? UNNAMED;
    return (
      enough('gun', `${part} gun ${gun}`, own) ??
      (family === UNNAMED || family === MIXED
        ? null
        : enough(
            'family',
            `${part} family ${family}`,
            lives.filter((life) => life.family === family),
          )) ??
      enough('all', `${part}`, lives)
    );
  };
}
