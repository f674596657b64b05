// Files of a site as those see them who need nothing else of the collector: it loads in a third of the time.

export { summaryLine } from '../decode/tally.ts';
export { readLog } from './maintenance-log.ts';
export { readPlant } from './plant.ts';
export { readReadings } from './readings.ts';
export { readSettings } from './settings.ts';
