// The evaluation as the command line sees it.

export { evaluate } from './evaluate.ts';
export { progressBar } from './progress-bar.ts';
export { simulatePromise } from './promise/simulate-promise.ts';
