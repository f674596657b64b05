// The dashboard as the composition root sees it.

export {
  addPerson,
  addToken,
  linkFor,
  passwordFault,
  restorePerson,
  revokePerson,
  revokeToken,
  setPassword,
  setRole,
  signOutEverywhere,
  wallPath,
  welcomePath,
} from './server/index.ts';
export { type AccountDesk, atAccountDesk } from './service/account-desk.ts';
export { addToLog } from './service/log-add.ts';
export { refuseOpenBind } from './service/loopback.ts';
export { recordedPlant } from './service/plant-record.ts';
export type { Service } from './service/run-service.ts';
export { runUntilStopped } from './service/run-until-stopped.ts';
