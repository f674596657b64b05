import type { Job, ShiftCalendar } from '../../analyzer/index.ts';
import type { LifeAnswer, ShopSource } from '../server/index.ts';
import type { Basis } from './basis.ts';
import { CostDesk } from './cost-desk.ts';
import { JournalDesk } from './journal-desk.ts';
import { LifeDesk } from './life-desk.ts';
import { ReportDesk } from './report-desk.ts';
import { shiftAt } from './shift-at.ts';
import { StockDesk } from './stock-desk.ts';

/** What the shop is told of by others: what there is to do, and when it works. */
export interface ShopNeeds {
  readonly jobs: () => readonly Job[];
  readonly calendar: () => ShiftCalendar;
}

/** Shelf, lives, costs, journal and reports of a site, over its store. */
export function openShop(basis: Basis, { jobs, calendar }: ShopNeeds): ShopSource {
  const { store, plant } = basis;
  const lives = new LifeDesk(basis);
  const stock = new StockDesk(basis, lives);
  const costs = new CostDesk(basis, lives);
  const journal = new JournalDesk(basis);
  const reports = new ReportDesk(basis, {
    ...{ journal, stock, jobs },
    shiftAt: (time) => shiftAt(calendar(), plant.site.timezone, time),
  });
  return {
    stock: () => stock.lines(),
    stateItem: (part, item, written) => stock.stateItem(part, item, written),
    move: (body, record) => stock.move(body, record),
    undoMove: (id, who) => stock.undo(id, who),
    steps: (query) => stock.steps(query),
    shortOf: (part) => stock.shortOf(part),
    lives: (query) => livesAnswer(lives, costs, query),
    costs: (months) => costs.costs(months),
    costFigures: () => costs.figures(),
    stateCosts: (figures, written) => costs.state(figures, written),
    losses: () => costs.losses(),
    stateLosses: (month, gun, losses, written) => costs.stateLosses(month, gun, losses, written),
    journal: (query) => journal.lines(query),
    correct: (entry, { who, why, replacement, key }) => {
      const recordedAt = basis.now();
      const made = store.log.correct(entry, { recordedAt, source: 'api', who, why, replacement, key });
      basis.logChanged();
      return { entry: made.entry, replacement: made.replacement };
    },
    report: (kind, at) => reports.report(kind, at),
  };
}

function livesAnswer(lives: LifeDesk, costs: CostDesk, query: Parameters<ShopSource['lives']>[0]): LifeAnswer {
  const { figures } = costs.figures();
  const { left } = lives.lives();
  return {
    measure: query.measure,
    by: query.by,
    currency: figures.currency,
    groups: lives.groups(figures, query).map(({ part, group, statistics, best, unweighed }) => {
      const { fit: _, ...told } = statistics;
      return {
        part,
        group,
        unweighed,
        best,
        ...told,
        observed: [...told.observed],
        curve: [...told.curve],
      };
    }),
    left: { noStart: left['no start'], noReadings: left['no readings'], notUsed: left['not used'] },
  };
}
