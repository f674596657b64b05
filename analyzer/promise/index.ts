// How often a gun may be, and is, found fault with for no reason: designed, simulated and observed, never mixed.

export { designedPromise } from './designed.ts';
export { observedPromise } from './observed.ts';
export { DesignedPromise, ObservedPromise, SimulatedPromise } from './promise.ts';
export { promiseText } from './promise-text.ts';
export { simulatedPromise } from './simulated.ts';
