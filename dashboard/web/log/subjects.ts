import { CHANNEL_NAMES } from '../../../collector/contract/channels.ts';
import { PART_IDS } from '../../../collector/contract/parts.ts';

/** What work can be logged on: the parts, and each sensor. (The contract's own list comes with its schemas, too large for a page.) */
export const SUBJECT_IDS: readonly string[] = [...PART_IDS, ...CHANNEL_NAMES.map((name) => `sensor:${name}`)];
