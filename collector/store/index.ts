// What threads that only read a store enter by: the whole collector takes several times as long to load.

export { refuseDamaged } from './damage.ts';
export { openStore } from './embedded.ts';
