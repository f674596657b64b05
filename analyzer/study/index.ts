// Settings tried on a history: what they would have found, set against what people found.

export { readBundleFile, writeBundleFile } from './bundle-file.ts';
export { consequences, hallFigures } from './consequences.ts';
export type { SiteHistory } from './history.ts';
export { historySteps, loadHistory } from './load-history.ts';
export { suggestionText, tradeOffText } from './many-text.ts';
export { monthsOf } from './months.ts';
export { parameters } from './parameters.ts';
export { reportText } from './report-text.ts';
export { SecondThread } from './second-thread.ts';
export { gridOf } from './settings-grid.ts';
export { spanOfHistory } from './span-of-history.ts';
export { type AskedStudy, type Studies, startStudies } from './start-studies.ts';
export { brokenBounds } from './stated-bounds.ts';
export { type Span, type Study, study } from './study.ts';
export type { StudyBundle, Versions } from './study-bundle.ts';
export type { BundleQuestion, CurvePoint, StudyAnswer, StudyQuestion } from './study-messages.ts';
export { studyOnTwo } from './study-on-two.ts';
export { type StudyReport, studyReport, toldStudy } from './study-report.ts';
export type { Tally } from './study-score.ts';
export { FEWEST_MONTHS, type Suggestion, suggestSettings } from './suggest-settings.ts';
export { studyAll, tradeOff } from './trade-off.ts';
export { undecidedChanges, unloggedChanges } from './undecided-changes.ts';
export { versionsHere } from './versions-here.ts';
