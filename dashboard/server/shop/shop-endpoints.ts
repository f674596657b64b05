import type { Endpoint } from '../endpoint.ts';
import { cost, costFigures, costList, losses, stateCostFigures, stateLosses } from '../endpoints/cost.ts';
import { correctLog, journal, journalList } from '../endpoints/journal.ts';
import { life } from '../endpoints/life.ts';
import { report, reportList } from '../endpoints/report.ts';
import {
  addStockMove,
  reorderList,
  stateStockItem,
  stock,
  stockMoves,
  stockShort,
  undoStockMove,
} from '../endpoints/stock.ts';
import { telling, testTelling } from '../endpoints/telling.ts';

/** Addresses of what the shop keeps beside findings and jobs. */
export const SHOP_ENDPOINTS: readonly Endpoint[] = [
  correctLog,
  journal,
  journalList,
  stock,
  stockShort,
  reorderList,
  stockMoves,
  addStockMove,
  undoStockMove,
  stateStockItem,
  life,
  cost,
  costList,
  costFigures,
  stateCostFigures,
  losses,
  stateLosses,
  report,
  reportList,
  telling,
  testTelling,
];
