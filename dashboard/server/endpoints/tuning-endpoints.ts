import type { Endpoint } from '../endpoint.ts';
import {
  adoptSettings,
  revertSettings,
  settingsConsequences,
  settingsParameters,
  settingsSchema,
  settingsSubjects,
  settingsVersions,
} from './settings.ts';
import { askStudy, cancelStudy, openStudy, readStudy, saveStudy } from './studies.ts';
import { excludeRuns, exclusions, judgeFinding, judgements, undoExclusion } from './truths.ts';

/** The engineer's addresses. */
export const TUNING_ENDPOINTS: readonly Endpoint[] = [
  settingsVersions,
  settingsSchema,
  settingsSubjects,
  settingsConsequences,
  settingsParameters,
  adoptSettings,
  revertSettings,
  askStudy,
  readStudy,
  cancelStudy,
  saveStudy,
  openStudy,
  judgements,
  judgeFinding,
  exclusions,
  excludeRuns,
  undoExclusion,
];
