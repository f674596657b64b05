import {
  type Demand,
  type LifeStatistics,
  leadTimeDemand,
  type NewLife,
  type OrderedPart,
  type Remaining,
  reorderPoint,
  StockItem,
  shelfOf,
  useBetween,
} from '../../analyzer/index.ts';
import { AppError, counted, PART_IDS, type PartId } from '../../collector/contract/index.ts';
import type { StockMove } from '../../collector/index.ts';
import { type StockLine, type StockMoveBody, type StockStep, timeOf, type Written } from '../server/index.ts';
import type { Basis } from './basis.ts';
import { intervalLeft, intervalOf } from './interval-left.ts';
import type { LifeDesk } from './life-desk.ts';

const DAY_MS = 86_400_000;
/** Days whose spraying tells what a gun will spray in a day. Source: own choice, four weeks even out shifts and weekends. */
const PACE_DAYS = 28;
/** How long a demand holds while nothing was logged, ms. Source: own choice, parts wear over weeks. */
const DEMAND_AGE_MS = 10 * 60_000;

/** The shelf of the site: what is there, what is needed, what to order. */
export class StockDesk {
  readonly #basis: Basis;
  readonly #lives: LifeDesk;
  readonly #demands = new Map<string, { at: number; logId: number; demand: Demand; longer: Demand; from: string }>();

  constructor(basis: Basis, lives: LifeDesk) {
    this.#basis = basis;
    this.#lives = lives;
  }

  lines(): StockLine[] {
    return PART_IDS.map((part) => this.line(part));
  }

  line(part: PartId): StockLine {
    const { item, version } = this.#item(part);
    const { shelf } = this.#shelf(part, item);
    const { demand, longer, from } = this.#demand(part, item);
    const kept = shelf.onHand !== null;
    const point = reorderPoint(demand.chances, item.serviceLevel) * item.perChange;
    const upTo = Math.max(point, reorderPoint(longer.chances, item.serviceLevel) * item.perChange);
    const position = (shelf.onHand ?? 0) + shelf.onOrder;
    const unknown = demand.unknown.length;
    return {
      part,
      item,
      version,
      onHand: kept ? Math.max(0, shelf.onHand ?? 0) : null,
      shortage: Math.max(0, -(shelf.onHand ?? 0)),
      onOrder: shelf.onOrder,
      countedAt: shelf.countedAt === null ? null : new Date(shelf.countedAt).toISOString(),
      usedSinceCount: shelf.usedSinceCount,
      expected: demand.expected * item.perChange,
      reorderPoint: point,
      orderUpTo: upTo,
      short: this.shortOf(part),
      order: kept && position <= point ? Math.max(0, upTo - position) : 0,
      says: `${from}${unknown === 0 || unknown === this.#basis.plant.guns.length ? '' : `; not in it: ${counted(unknown, 'gun')} of which nothing tells when`}`,
    };
  }

  stateItem(part: PartId, item: StockItem, { who, seen }: Written): StockLine {
    this.#basis.store.figures.state(`item:${part}`, item, { seen, recordedAt: this.#basis.now(), who });
    return this.line(part);
  }

  move(body: StockMoveBody, { who, key }: { who: string; key?: string | undefined }): StockLine {
    const { store, now } = this.#basis;
    const { part, kind, quantity, note } = body;
    const recordedAt = now();
    const time = timeOf(body.time, recordedAt);
    const before = this.#shelf(part, this.#item(part).item).shelf.onHand;
    if (kind === 'taken' && before === null)
      throw new AppError('STOCK_SHORT', `no stock of ${part} is kept yet: count it first`);
    store.transaction(() => {
      store.stock.add({ time, part, kind, quantity, note, recordedAt, who }, key);
      if (kind === 'taken') this.#refuseShort(part, before, `${quantity} cannot be taken`);
    });
    return this.line(part);
  }

  undo(id: number, who: string): StockLine {
    const { store, now } = this.#basis;
    const part = store.stock.list().find((move) => move.id === id)?.part as PartId | undefined;
    const before = part === undefined ? null : this.#shelf(part, this.#item(part).item).shelf.onHand;
    return store.transaction(() => {
      const undone = store.stock.undo(id, { at: now(), who });
      if (undone.kind === 'delivered')
        this.#refuseShort(undone.part as PartId, before, `line ${id} cannot be taken back`);
      return this.line(undone.part as PartId);
    });
  }

  steps({ part, limit }: { part: PartId | null; limit: number }): StockStep[] {
    const { store } = this.#basis;
    const moves = store.stock.list(part ?? undefined).map(
      ({ id, time, part: of, kind, quantity, note, who, undoneAt, undoneBy }): StockStep => ({
        id,
        time: new Date(time).toISOString(),
        part: of as PartId,
        kind,
        quantity: kind === 'taken' ? -quantity : quantity,
        gun: null,
        note,
        who,
        undone: undoneAt === null ? null : { at: new Date(undoneAt).toISOString(), who: undoneBy ?? '' },
      }),
    );
    const kept = new Set(store.stock.list().map((move) => move.part));
    const changes = store.log
      .list()
      .filter((entry) => entry.action === 'replaced' && kept.has(entry.part) && (part === null || entry.part === part))
      .map(
        ({ time, gun, part: of, note, who }): StockStep => ({
          id: null,
          time: new Date(time).toISOString(),
          part: of as PartId,
          kind: 'used',
          quantity: -this.#item(of as PartId).item.perChange,
          gun,
          note,
          who,
          undone: null,
        }),
      );
    return [...moves, ...changes].sort((left, right) => (left.time < right.time ? 1 : -1)).slice(0, limit);
  }

  /** Why a part is not at hand; null where it is, or where no stock of it is kept. */
  shortOf(part: string): string | null {
    const found = PART_IDS.find((one) => one === part);
    if (found === undefined) return null;
    const { item } = this.#item(found);
    const { onHand, onOrder } = this.#shelf(found, item).shelf;
    if (onHand === null || onHand >= item.perChange) return null;
    const there = onHand <= 0 ? 'none on the shelf' : `only ${onHand} of ${item.perChange} on the shelf`;
    return onOrder > 0 ? `${there}, ${onOrder} on order` : `${there}, none on order`;
  }

  /** A shelf that someone takes from by hand cannot go below nothing; a change that was made is kept as a shortage. */
  #refuseShort(part: PartId, before: number | null, what: string): void {
    const { onHand } = this.#shelf(part, this.#item(part).item).shelf;
    if (onHand === null || onHand >= 0 || onHand >= (before ?? 0)) return;
    throw new AppError(
      'STOCK_SHORT',
      `${part}: ${what}, there are ${Math.max(0, before ?? 0)} on the shelf; count it if that is wrong. Nothing was written`,
    );
  }

  #item(part: PartId): { item: StockItem; version: number } {
    const stated = this.#basis.store.figures.current(`item:${part}`);
    return { item: StockItem.parse(stated?.body ?? {}), version: stated?.version ?? 0 };
  }

  #shelf(part: PartId, item: StockItem): ReturnType<typeof shelfOf> {
    const { store } = this.#basis;
    const moves = store.stock.list(part).filter((move: StockMove) => move.undoneAt === null);
    return shelfOf(part, moves, store.log.list(), item.perChange);
  }

  #demand(part: PartId, item: StockItem): { demand: Demand; longer: Demand; from: string } {
    const now = this.#basis.now();
    const logId = this.#basis.store.log.lastId();
    const rules = this.#basis.store.figures.currentOf('rule:').map(({ subject, version }) => `${subject} ${version}`);
    const key = `${part} ${item.leadTimeDays} ${item.coverDays} ${rules.join()}`;
    const known = this.#demands.get(key);
    if (known && known.logId === logId && now - known.at < DEMAND_AGE_MS) return known;
    const statistics = this.#lives.ofPart(part);
    const next = newLife(this.#basis.store, part, statistics);
    const fitted = this.#basis.plant.guns.map(({ id }) => this.#fitted(id, part, statistics, now));
    const over = (days: number): Demand =>
      leadTimeDemand(
        fitted.map(({ perDay, ...one }) => ({ ...one, sprayHours: perDay * days })),
        next,
      );
    const from = sourceOf(fitted);
    const found = {
      at: now,
      logId,
      demand: over(item.leadTimeDays),
      longer: over(item.leadTimeDays + item.coverDays),
      from,
    };
    this.#demands.set(key, found);
    return found;
  }

  #fitted(
    gun: string,
    part: PartId,
    { fit }: LifeStatistics,
    now: number,
  ): Omit<OrderedPart, 'sprayHours'> & { perDay: number } {
    const { store, use, views } = this.#basis;
    const hours = use.hours(gun);
    const perDay = useBetween(hours, now - PACE_DAYS * DAY_MS, now).sprayHours / PACE_DAYS;
    const view = views().find(({ id }) => id === gun);
    const finding = store.findings
      .list({ open: true })
      .find(
        ({ finding: { gun: of, candidates, cause } }) => of === gun && (candidates[0]?.cause ?? cause) === part,
      )?.finding;
    const shown = part === 'pump-insert' ? view?.remaining : finding?.remaining?.sprayHours;
    const fittedAt =
      store.log.list({ gun }).findLast((one) => one.part === part && one.action === 'replaced')?.time ?? null;
    const age = fittedAt === null ? null : useBetween(hours, fittedAt, now).sprayHours;
    let remaining: Remaining | null = shown ? { from: 'air', ...shown } : null;
    if (remaining === null && finding !== undefined)
      remaining = { from: 'finding', probability: finding.candidates[0]?.probability ?? 1 };
    if (remaining === null && fit !== null && age !== null)
      remaining = { from: 'lives', shape: fit.shape, scale: fit.scale, age };
    // Where no change was logged its interval counts from the first reading, as the plan's does.
    const since = fittedAt ?? hours[0]?.time ?? null;
    if (remaining === null && since !== null) {
      const rule = intervalOf(store, gun, part);
      const left = intervalLeft(rule, useBetween(hours, since, now).sprayHours, (now - since) / DAY_MS, perDay);
      if (left !== null) remaining = { from: 'interval', left };
    }
    return { gun, remaining, perDay };
  }
}

function newLife(store: Basis['store'], part: PartId, { fit }: LifeStatistics): NewLife | null {
  if (fit !== null) return { from: 'lives', shape: fit.shape, scale: fit.scale };
  // A part on the shelf is in no gun yet: what holds for the site counts.
  const sprayHours = intervalLeft(intervalOf(store, '', part), 0, null, 0);
  return sprayHours === null ? null : { from: 'interval', sprayHours };
}

/** "from the air 6, life statistics 1, interval 1": by how many guns. */
function sourceOf(fitted: readonly { readonly remaining: Remaining | null }[]): string {
  const words = {
    finding: 'open findings',
    air: 'the air',
    lives: 'life statistics',
    interval: 'the interval',
  } as const;
  const told = (Object.keys(words) as (keyof typeof words)[]).flatMap((from) => {
    const count = fitted.filter(({ remaining }) => remaining?.from === from).length;
    return count === 0 ? [] : [`${words[from]} (${counted(count, 'gun')})`];
  });
  return told.length === 0
    ? 'nothing tells when any will have to go: by checks and findings'
    : `from ${told.join(', ')}`;
}
