import { cusum } from './cusum.ts';
import { ewma } from './ewma.ts';
import { pageHinkley } from './page-hinkley.ts';
import { rampGlr } from './ramp-glr.ts';
import { stepGlr } from './step-glr.ts';

/** Every detector, by kind. Each passes the shared checks of tests/analyzer/detect/registry.test.ts. */
export const detectors = { cusum, ewma, pageHinkley, stepGlr, rampGlr } as const;
