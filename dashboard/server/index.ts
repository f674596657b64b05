export type { AccessSource } from './access/access-source.ts';
export { passwordFault } from './access/password.ts';
export {
  addPerson,
  firstAdministrator,
  linkFor,
  restorePerson,
  revokePerson,
  setRole,
  signOutEverywhere,
} from './access/people-book.ts';
export { setPassword } from './access/set-password.ts';
export { addToken, revokeToken } from './access/token-book.ts';
export { lostAfterMs } from './age.ts';
export { baselineCsv } from './baseline-csv.ts';
export type { BaselineSource, OfferedChange } from './baseline-source.ts';
export { type Clock, timersAround } from './clock.ts';
export { csvText } from './csv-text.ts';
export { welcomePath } from './endpoints/people.ts';
export { wallPath } from './endpoints/tokens.ts';
export { EXPORT_NAMES, EXPORTS, type ExportName, type ExportQuery, type ExportSource } from './export-source.ts';
export { logEntryFrom } from './log-entry-from.ts';
export { RequestFault } from './problem.ts';
export type { PromiseSimulation, PromiseSource } from './promise-source.ts';
export type { CostAnswer, StatedCosts, StatedLosses } from './shop/cost-model.ts';
export { costCsv, journalCsv, lifeCsv, reorderCsv, reportCsv, shelfCsv } from './shop/csv-tables.ts';
export type { JournalLine, Report } from './shop/journal-model.ts';
export type { LifeAnswer } from './shop/life-model.ts';
export { presentMonths } from './shop/present-months.ts';
export type { ShopSource, Written } from './shop/shop-source.ts';
export type { StockLine, StockMoveBody, StockStep } from './shop/stock-model.ts';
export type { TellingAnswer, TellingSource } from './shop/telling-model.ts';
export type {
  Counter,
  DashboardSources,
  LatestReadings,
  RecordedEntry,
} from './sources.ts';
export { type Dashboard, type DashboardOptions, startDashboard } from './start-dashboard.ts';
export type { HistorianStatus, ServiceStatus, StatusSource } from './status-source.ts';
export { type ArrivingBundle, StudyDesk, type StudyFiles } from './study-desk.ts';
export { timeOf } from './time-of.ts';
export type { TuningSource } from './tuning-source.ts';
export { planFeedOf } from './upkeep/plan-feed.ts';
export type { By, Deed, SetRule, Stated, UpkeepSource } from './upkeep/upkeep-source.ts';
