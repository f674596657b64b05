import type { HistoryAnswer } from '../../../analyzer/index.ts';

/** The answer to a look at a gun of which nothing is known, in stretches of a millisecond. */
export const EMPTY_HISTORY: HistoryAnswer = {
  ...{ gun: 'gun-01', from: 0, to: 2, level: 'runs', widthMs: 1, times: [], series: [], findings: [], log: [] },
  ...{ powders: [], recipes: [], relearnings: [], settings: [], excluded: [], damaged: [], nearest: null, known: null },
};
