/** What goes out as a table, with what it is in a few words. */
export const EXPORTS = {
  readings: 'readings of all stations, a row an instant, in canonical units',
  thinned: 'readings that retention has thinned, a row a span and channel, in canonical units',
  runs: 'spray runs, a row a trigger pull',
  findings: 'the last state of every finding',
  log: 'the maintenance log, with what was taken back',
  checks: 'bench checks: what was inspected, found and measured',
  jobs: 'jobs, also those that ended',
  parts: 'parts on guns with their counters',
  due: 'due work',
  stock: 'the shelf',
  'stock-moves': 'what moved the shelf',
  journal: 'all that was done and shown',
  lives: 'life statistics of the parts',
  settings: 'versions of the settings',
  judgements: 'what people said of findings',
  exclusions: 'runs that were left out',
  audit: 'who changed what',
} as const;
export type ExportName = keyof typeof EXPORTS;
export const EXPORT_NAMES = Object.keys(EXPORTS) as [ExportName, ...ExportName[]];

export interface ExportQuery {
  readonly what: ExportName;
  readonly format: 'csv' | 'parquet';
  /** Epoch ms; null for an open end. Of no effect on what has no times. */
  readonly from: number | null;
  readonly to: number | null;
  /** Only of this gun or air point, for readings, thinned ones and runs; null for all. */
  readonly station: string | null;
}

/** Everything that is kept, as tables. */
export interface ExportSource {
  /** The pieces of the file; whatever can be refused is refused before the first. */
  open(query: ExportQuery): Iterable<string | Uint8Array>;
}
