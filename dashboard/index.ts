// The dashboard as the composition root sees it.

export {
  addPerson,
  addToken,
  baselineCsv,
  costCsv,
  csvText,
  EXPORT_NAMES,
  EXPORTS,
  type ExportName,
  type ExportQuery,
  journalCsv,
  lifeCsv,
  linkFor,
  passwordFault,
  planFeedOf,
  presentMonths,
  reorderCsv,
  reportCsv,
  restorePerson,
  revokePerson,
  revokeToken,
  type ShopSource,
  setPassword,
  setRole,
  shelfCsv,
  signOutEverywhere,
  wallPath,
  welcomePath,
} from './server/index.ts';
export { type AccountDesk, atAccountDesk } from './service/account-desk.ts';
export { baselineInFolder, withBaselines } from './service/baselines-in-folder.ts';
export { clearTextWarning } from './service/clear-text.ts';
export { withExports } from './service/exports-in-folder.ts';
export { addToLog } from './service/log-add.ts';
export { type ImportedLog, importLog } from './service/log-import.ts';
export { refuseOpenBind } from './service/loopback.ts';
export { recordedPlant, recordPlant } from './service/plant-record.ts';
export { type PromiseInFolder, promiseInFolder } from './service/promise-in-folder.ts';
export type { Service, ServiceOptions } from './service/run-service.ts';
export { runUntilStopped } from './service/run-until-stopped.ts';
export { withShop } from './service/shop-in-folder.ts';
export { type GunSight, sightsInFolder } from './service/sights-in-folder.ts';
export { withTelling } from './service/telling-in-folder.ts';
export { withUpkeep } from './service/upkeep-in-folder.ts';
