export { type Clock, timersAround } from './clock.ts';
export { logEntryFrom } from './log-entry-from.ts';
export type {
  Counter,
  DashboardSources,
  FindingsQuery,
  LatestReadings,
  QuarantineEntry,
  RecordedEntry,
  Soon,
} from './sources.ts';
export { type Dashboard, type DashboardOptions, startDashboard } from './start-dashboard.ts';
