import { Temporal } from 'temporal-polyfill';
import {
  airIsSmall,
  CostFigures,
  type Distrusted,
  excessByMonth,
  Losses,
  type MonthCost,
  monthCost,
  SPECIFIC_ENERGY_SOURCE,
  timeliness,
  totalCost,
} from '../../analyzer/index.ts';
import { PART_IDS } from '../../collector/contract/index.ts';
import type { StatedFigures } from '../../collector/index.ts';
import { type CostAnswer, RequestFault, type StatedCosts, type StatedLosses, type Written } from '../server/index.ts';
import type { Basis } from './basis.ts';
import type { LifeDesk } from './life-desk.ts';

const COSTS = 'costs';
const LOSSES = 'losses:';
const HOUR_MS = 3_600_000;
/** Sensors without which excess air is not known. */
const NEEDED = ['sensor:conveying/flow', 'sensor:powder/output', 'sensor:conveying/pressure'];

/** What wear costs, by gun and month, and the shop's own figures behind it. */
export class CostDesk {
  readonly #basis: Basis;
  readonly #lives: LifeDesk;

  constructor(basis: Basis, lives: LifeDesk) {
    this.#basis = basis;
    this.#lives = lives;
  }

  figures(): StatedCosts {
    return shown(this.#basis.store.figures.current(COSTS));
  }

  state(figures: CostFigures, { who, seen }: Written): StatedCosts {
    return shown(this.#basis.store.figures.state(COSTS, figures, { seen, recordedAt: this.#basis.now(), who }));
  }

  losses(): StatedLosses[] {
    return this.#basis.store.figures.currentOf(LOSSES).map(lossesOf);
  }

  stateLosses(month: string, gun: string, losses: Losses, { who, seen }: Written): StatedLosses {
    const { store, plant, now } = this.#basis;
    if (!plant.guns.some(({ id }) => id === gun)) {
      const detail = `no gun "${gun}" in the plant file; expected one of ${plant.guns.map(({ id }) => id).join(', ')}`;
      throw new RequestFault('BODY_INVALID', detail, [{ pointer: '#/gun', detail }]);
    }
    if (month > monthAt(now(), plant.site.timezone)) {
      const detail = `month ${month} is in the future`;
      throw new RequestFault('BODY_INVALID', detail, [{ pointer: '#/month', detail }]);
    }
    return lossesOf(store.figures.state(`${LOSSES}${month}:${gun}`, losses, { seen, recordedAt: now(), who }));
  }

  /** Reads the runs of one gun after the other and lets others work between them: months of runs take a while. */
  async costs({ from, to }: { from: string; to: string }): Promise<CostAnswer> {
    const { plant } = this.#basis;
    const figures = this.figures().figures;
    const losses = this.losses();
    const rows: MonthCost[] = [];
    for (const { id } of plant.guns) {
      rows.push(...this.#gun(id, from, to, figures, losses));
      await new Promise<void>((next) => setImmediate(next));
    }
    rows.sort((left, right) =>
      left.month === right.month ? (left.gun < right.gun ? -1 : 1) : left.month < right.month ? -1 : 1,
    );
    const total = totalCost(rows);
    return {
      from,
      to,
      currency: figures.currency,
      specificEnergy: { value: figures.specificEnergy, source: SPECIFIC_ENERGY_SOURCE },
      says: airIsSmall(total),
      rows,
      total,
    };
  }

  #gun(gun: string, from: string, to: string, figures: CostFigures, losses: readonly StatedLosses[]): MonthCost[] {
    const { store, plant, views } = this.#basis;
    const zone = plant.site.timezone;
    const monthOf = monthFinder(zone);
    const first = startOf(from, zone);
    const end = startOf(Temporal.PlainYearMonth.from(to).add({ months: 1 }).toString(), zone);
    const needs = views().find(({ id }) => id === gun)?.airNeeds ?? [];
    const air = excessByMonth(store.runs.load(gun, first, end), needs, this.#distrusted(gun), monthOf);
    const own = losses.filter((one) => one.gun === gun && one.month >= from && one.month <= to);
    const ended = this.#lives.lives().lives.filter((life) => life.gun === gun && life.end !== 'in use');
    const months = [
      ...new Set([...air, ...own, ...ended.map(({ to: at }) => ({ month: monthOf(at) }))].map(({ month }) => month)),
    ];
    return months
      .filter((month) => month >= from && month <= to)
      .sort()
      .map((month) => {
        const changes = PART_IDS.map((part) =>
          timeliness(
            ended.filter((life) => life.part === part && monthOf(life.to) === month),
            this.#lives.ofPart(part).fit,
            figures.parts[part],
          ),
        ).reduce((sum, one) => ({
          early: sum.early + one.early,
          earlyMoney: both(sum.earlyMoney, one.earlyMoney),
          late: sum.late + one.late,
          lateMoney: both(sum.lateMoney, one.lateMoney),
        }));
        return monthCost(
          gun,
          air.find((one) => one.month === month) ?? { month, sprayHours: 0, judgedHours: 0, excessM3: 0 },
          changes,
          own.find((one) => one.month === month)?.losses ?? null,
          figures,
        );
      });
  }

  /** Spans in which a sensor that excess air needs was off. */
  #distrusted(gun: string): Distrusted[] {
    return this.#basis.store.findings
      .list()
      .filter(({ finding }) => finding.gun === gun && NEEDED.includes(finding.cause))
      .map(({ finding }) => ({
        from: Date.parse(finding.onset),
        to: finding.cleared === null ? Number.POSITIVE_INFINITY : Date.parse(finding.cleared),
      }));
  }
}

const both = (left: number | null, right: number | null): number | null =>
  left === null || right === null ? null : left + right;

function shown(stated: StatedFigures | null): StatedCosts {
  return {
    version: stated?.version ?? 0,
    who: stated?.who ?? '',
    at: stated === null ? null : new Date(stated.recordedAt).toISOString(),
    figures: CostFigures.parse(stated?.body ?? {}),
    specificEnergySource: SPECIFIC_ENERGY_SOURCE,
  };
}

function lossesOf({ subject, version, who, body }: StatedFigures): StatedLosses {
  const [month = '', gun = ''] = subject.slice(LOSSES.length).split(':');
  return { month, gun, version, who, losses: Losses.parse(body) };
}

/** `YYYY-MM` on the shop's calendar. */
export function monthAt(time: number, timezone: string): string {
  return Temporal.Instant.fromEpochMilliseconds(Math.floor(time))
    .toZonedDateTimeISO(timezone)
    .toPlainDate()
    .toString()
    .slice(0, 7);
}

/** The same for many times in order: looked up once an hour. */
function monthFinder(timezone: string): (time: number) => string {
  let hour = Number.NaN;
  let month = '';
  return (time) => {
    const at = Math.floor(time / HOUR_MS);
    if (at !== hour) {
      hour = at;
      month = monthAt(time, timezone);
    }
    return month;
  };
}

function startOf(month: string, timezone: string): number {
  return Temporal.PlainYearMonth.from(month).toPlainDate({ day: 1 }).toZonedDateTime(timezone).epochMilliseconds;
}
