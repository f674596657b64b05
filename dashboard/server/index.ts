export type { Clock } from './clock.ts';
export { logEntryFrom } from './log-entry-from.ts';
export { RequestFault } from './problem.ts';
export type {
  Counter,
  DashboardSources,
  LatestReadings,
  RecordedEntry,
} from './sources.ts';
export { type Dashboard, type DashboardOptions, startDashboard } from './start-dashboard.ts';
