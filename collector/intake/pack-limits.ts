import { PACK_LIMITS, type PackLimits } from '../decode/decoded.ts';
import type { CollectorOptions } from './collector.ts';

/** What one pack may hold, as the configuration says it. */
export function packLimits({ broker, intake }: CollectorOptions['config']): PackLimits {
  return {
    ...PACK_LIMITS,
    bytes: broker.maxPacketBytes,
    records: intake.maxPackRecords,
    nameLength: intake.maxNameCharacters,
    textLength: intake.maxTextCharacters,
  };
}
