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
import { askStudy, cancelStudy, readStudy, saveStudy } from './studies.ts';
import { STUDY_BUNDLE_ENDPOINTS } from './study-bundles.ts';
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
  ...STUDY_BUNDLE_ENDPOINTS,
  judgements,
  judgeFinding,
  exclusions,
  excludeRuns,
  undoExclusion,
];
