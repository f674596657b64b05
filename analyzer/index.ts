// The analyzer as other folders see it.

export { BENCH_CHECKS } from './advise/bench-checks.ts';
export { CAUTIONS } from './advise/cautions.ts';
export type { SiteReadings } from './analyze-site.ts';
export { CostFigures, Losses, SPECIFIC_ENERGY_SOURCE } from './cost/cost-figures.ts';
export { type Distrusted, excessByMonth } from './cost/excess-volume.ts';
export { airIsSmall, type MonthCost, monthCost, totalCost } from './cost/month-cost.ts';
export { timeliness } from './cost/timeliness.ts';
export { exportFindings } from './export-findings.ts';
export { byRaised, findingLine } from './findings-ndjson.ts';
export { finish } from './finish.ts';
export * from './history/index.ts';
export { type BestAge, bestAge } from './life/best-age.ts';
export { hoursLeftByLives } from './life/hours-left.ts';
export { type LifeStatistics, lifeStatistics } from './life/life-statistics.ts';
export { hasFailed, MIXED, type PartLife, type PartLives, partLives, UNNAMED } from './life/part-lives.ts';
export { type UseHour, useBetween, useHours } from './life/use-hours.ts';
export { compactStates } from './live/compact-states.ts';
export { knownPowders } from './live/known-powders.ts';
export { gunConditions, type LiveUpdate } from './live/live-update.ts';
export { type Live, startLive } from './live/start-live.ts';
export { storedViews } from './live/stored-views.ts';
export { TICK_MS } from './pipeline-tick-length.ts';
export * from './promise/index.ts';
export { calibrationBins } from './replay/calibration.ts';
export type { CaseScore } from './replay/case-score.ts';
export { confusion } from './replay/confusion.ts';
export type { EvaluationCase, FaultTruth, LifeTruth } from './replay/evaluation-case.ts';
export { isReached, type Measure } from './replay/measure.ts';
export { measures } from './replay/measures.ts';
export { type Replay, replaySite } from './replay/replay-site.ts';
export { scoreCase } from './replay/score-case.ts';
export * from './sight.ts';
export * from './site.ts';
export { sitePowders } from './site-powders.ts';
export type { Life } from './stats/weibull.ts';
export {
  type Demand,
  type FittedPart as OrderedPart,
  leadTimeDemand,
  type NewLife,
  reorderPoint,
} from './stock/lead-time-demand.ts';
export { shelfOf } from './stock/shelf.ts';
export { StockItem } from './stock/stock-item.ts';
export type { Remaining } from './stock/time-to-change.ts';
export * from './study/index.ts';
export type { AlertLoad } from './upkeep/alert-load.ts';
export { alertLoad } from './upkeep/alert-load.ts';
export { type LivesOf, partsOf } from './upkeep/fitted-parts.ts';
export { JOB_STATES, JobRecord, jobId, LoopJob, OutOfService } from './upkeep/loop-job.ts';
export type { GunUpkeep, LoopRecords } from './upkeep/loop-records.ts';
export { type Loop, makeLoop } from './upkeep/make-loop.ts';
export { measureFault } from './upkeep/measure-fault.ts';
export { PART_RULES, type RuleInForce, RuleOverride, ruleFor } from './upkeep/part-rules.ts';
export { ShiftCalendar, shiftsFrom, USUAL_CALENDAR } from './upkeep/shift-calendar.ts';
export { type ShopTime, shopTime } from './upkeep/shop-time.ts';
export { renewUsage, type Usage, usageOf } from './upkeep/usage.ts';
export { USUAL_SPAN_MS, usualColourChanges } from './upkeep/usual-colour-changes.ts';
export * from './views.ts';
