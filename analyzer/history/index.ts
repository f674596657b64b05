// The past of a gun, for the engineer's pictures and for other programs.

export { type BaselineAnswer, gunBaseline, type NeedAt, type PowderBaseline } from './gun-baseline.ts';
export type { HistoryAnswer, SeriesAnswer } from './gun-history.ts';
export { historyCsv } from './history-csv.ts';
export { HISTORY_SERIES } from './history-series.ts';
export { knownSpan } from './known-span.ts';
export { runsParquet } from './runs-parquet.ts';
export { type Histories, startHistories } from './start-histories.ts';
export type { TaughtPoint } from './taught-points.ts';
