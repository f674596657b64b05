import { AppError, type Plant } from '../../collector/contract/index.ts';
import { type DamagedSpan, refuseDamaged, type Store } from '../../collector/index.ts';
import type { ExportName, ExportQuery, ExportSource, ShopSource, UpkeepSource } from '../server/index.ts';
import { readingsTable, runsTable, type Span } from './readings-table.ts';
import {
  auditTable,
  exclusionsTable,
  findingsTable,
  judgementsTable,
  logTable,
  settingsTable,
} from './record-tables.ts';
import {
  dueTable,
  jobsTable,
  journalTable,
  livesTable,
  partsTable,
  stockMovesTable,
  stockTable,
} from './shop-tables.ts';
import type { ExportTable } from './table.ts';
import { tableCsv } from './table-csv.ts';
import { tableParquet } from './table-parquet.ts';
import { thinnedTable } from './thinned-table.ts';

export interface ExportBasis {
  readonly store: Store;
  readonly plant: Plant;
  readonly upkeep: UpkeepSource;
  readonly shop: ShopSource;
}

type Make = (basis: ExportBasis, span: Span, station: string | null) => ExportTable;

const TABLES: Readonly<Record<ExportName, Make>> = {
  readings: ({ store }, span, station) => readingsTable(store, span, station),
  thinned: ({ store }, span, station) => thinnedTable(store, span, station),
  runs: (basis, span, station) => runsTable(basis, span, station),
  findings: ({ store }, span) => findingsTable(store, span),
  log: ({ store }, span) => logTable(store, span, 'all'),
  checks: ({ store }, span) => logTable(store, span, 'checks'),
  jobs: ({ upkeep }) => jobsTable(upkeep),
  parts: ({ upkeep }) => partsTable(upkeep),
  due: ({ upkeep }) => dueTable(upkeep),
  stock: ({ shop }) => stockTable(shop),
  'stock-moves': ({ shop }) => stockMovesTable(shop),
  journal: ({ shop }, span) => journalTable(shop, span),
  lives: ({ shop }) => livesTable(shop),
  settings: ({ store }) => settingsTable(store),
  judgements: ({ store }) => judgementsTable(store),
  exclusions: ({ store }) => exclusionsTable(store),
  audit: ({ store }, span) => auditTable(store, span),
};

/** What is refused where it is damaged. */
const DAMAGED_KIND_OF: Readonly<Partial<Record<ExportName, DamagedSpan['kind']>>> = {
  readings: 'readings',
  thinned: 'thinned readings',
};

/** Everything that a data folder keeps, as tables that go out. */
export function openExports(basis: ExportBasis): ExportSource {
  return {
    open({ what, format, from, to, station }: ExportQuery) {
      const known = basis.store.readings.stations().map((one) => one.station);
      if (station !== null && !known.includes(station))
        throw new AppError('USAGE', `station: found "${station}", expected one of ${known.join(', ') || 'none yet'}`);
      if (from !== null && to !== null && from >= to) throw new AppError('USAGE', 'from is not before to');
      // Before the first byte: an answer that breaks off says nothing of why.
      const kind = DAMAGED_KIND_OF[what];
      if (kind !== undefined)
        for (const one of station === null ? known : [station]) {
          const damaged = basis.store.readings.damaged(one, from ?? undefined, to ?? undefined);
          refuseDamaged(damaged.filter((span) => span.kind === kind));
        }
      const table = TABLES[what](basis, { from, to }, station);
      return format === 'csv' ? tableCsv(table) : tableParquet(table);
    },
  };
}
