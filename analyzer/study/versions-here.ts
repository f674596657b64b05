import process from 'node:process';
import { VERSION } from '../../collector/contract/index.ts';
import { sitePipeline } from '../pipeline.ts';
import { CUT_STATE_VERSION } from '../runs/cut-state.ts';
import type { Versions } from './study-bundle.ts';
import { REPORT_VERSION } from './study-report.ts';

/**
 * What runs here, for a bundle's head. Builds of one release may analyze differently, so the versions of the
 * analysis' states (site, cut) and of the report belong to it: each is raised by whoever changes what they come to.
 */
export function versionsHere(): Versions {
  const analysis = `${sitePipeline.stateVersion}.${CUT_STATE_VERSION}.${REPORT_VERSION}`;
  return { driftline: VERSION, analysis, node: process.version };
}
