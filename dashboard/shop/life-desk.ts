import {
  type BestAge,
  bestAge,
  type CostFigures,
  hasFailed,
  type Life,
  type LifeStatistics,
  lifeStatistics,
  type PartLife,
  type PartLives,
  partLives,
  UNNAMED,
} from '../../analyzer/index.ts';
import { PART_IDS, type PartId } from '../../collector/contract/index.ts';
import { type Basis, familyOf } from './basis.ts';

/** What lives are measured in. */
export type LifeMeasure = 'sprayHours' | 'kilograms';
export type LifeGrouping = 'all' | 'family' | 'gun';

/** Statistics of one part for all guns, one powder family or one gun. */
export interface LifeGroup {
  readonly part: PartId;
  /** Null for all together. */
  readonly group: string | null;
  readonly statistics: LifeStatistics;
  readonly best: BestAge;
  /** Lives whose kilograms are not known, where lives are measured in them. */
  readonly unweighed: number;
}

/** Life statistics of the parts, from log and spray runs. */
export class LifeDesk {
  readonly #basis: Basis;
  #known: { at: number; logId: number; corrections: number; lives: PartLives } | null = null;

  constructor(basis: Basis) {
    this.#basis = basis;
  }

  /** All lives of all guns; worked out anew when the log changed, else once a minute. */
  lives(): PartLives {
    const { store, plant, use, now } = this.#basis;
    const at = now();
    const logId = store.log.lastId();
    const corrections = store.log.corrections().length;
    const known = this.#known;
    if (known && at - known.at < 60_000 && known.logId === logId && known.corrections === corrections)
      return known.lives;
    const log = store.log.list();
    const family = familyOf(plant, UNNAMED);
    const lives: PartLife[] = [];
    const left = { 'no start': 0, 'no readings': 0, 'not used': 0 };
    for (const { id } of plant.guns) {
      const own = log.filter(({ gun }) => gun === id);
      if (own.length === 0) continue;
      const found = partLives(id, own, use.hours(id), family, at);
      lives.push(...found.lives);
      for (const why of Object.keys(left) as (keyof typeof left)[]) left[why] += found.left[why];
    }
    const all = { lives, left };
    this.#known = { at, logId, corrections, lives: all };
    return all;
  }

  /** Statistics of some lives, in spray hours. */
  statisticsOf(lives: readonly PartLife[]): LifeStatistics {
    return lifeStatistics(measured(lives, 'sprayHours').lives);
  }

  /** Statistics of one part over all guns, for who needs the distribution alone. */
  ofPart(part: PartId): LifeStatistics {
    return this.statisticsOf(this.lives().lives.filter((life) => life.part === part));
  }

  /** Statistics of parts that have any life, grouped. Parts in the contract's order, groups by name. */
  groups(
    costs: CostFigures,
    { part, by, measure }: { part: PartId | null; by: LifeGrouping; measure: LifeMeasure },
  ): LifeGroup[] {
    const { lives } = this.lives();
    const groupOf = ({ family, gun }: PartLife): string | null =>
      by === 'all' ? null : by === 'family' ? family : gun;
    return PART_IDS.filter((one) => part === null || one === part).flatMap((one) => {
      const own = lives.filter((life) => life.part === one);
      const names = [...new Set(own.map(groupOf))].sort();
      const price = costs.parts[one];
      const stated =
        price?.planned == null || price.unplanned == null ? null : { planned: price.planned, failure: price.unplanned };
      return names.map((group) => {
        const { lives: times, unweighed } = measured(
          own.filter((life) => groupOf(life) === group),
          measure,
        );
        const statistics = lifeStatistics(times);
        return { part: one, group, statistics, best: bestAge(statistics, stated), unweighed };
      });
    });
  }
}

function measured(lives: readonly PartLife[], measure: LifeMeasure): { lives: Life[]; unweighed: number } {
  const times = lives.flatMap((life) => {
    const time = measure === 'sprayHours' ? life.sprayHours : life.kilograms;
    return time === null || time <= 0 ? [] : [{ time, failed: hasFailed(life) }];
  });
  return { lives: times, unweighed: lives.length - times.length };
}
