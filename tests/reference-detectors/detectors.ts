import { cusum } from '../../analyzer/detect/cusum.ts';
import { ewma } from './ewma.ts';
import { pageHinkley } from './page-hinkley.ts';
import { rampGlr } from './ramp-glr.ts';
import { stepGlr } from './step-glr.ts';

/** The detector of steps that the analysis runs, and those that it is compared with. Each passes the shared checks of tests/analyzer/detect/detectors.test.ts. */
export const detectors = { cusum, ewma, pageHinkley, stepGlr, rampGlr } as const;
