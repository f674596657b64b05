import { CHANNELS, type Conversion, lookUpUnit } from '../contract/index.ts';
import { LABEL, type SenmlRecord } from './senml-record.ts';
import type { SenmlResolver } from './senml-resolve.ts';
import type { SensorNames } from './sensor-names.ts';
import type { ChannelPlan, StationPlan } from './station-plan.ts';

export const CANONICAL: Conversion = { scale: 1, offset: 0 };

/** A record that was read in the usual way and kept, as a template needs it. */
export interface LearntRecord {
  readonly has: number;
  /** -1 for a record of base fields alone. */
  readonly channel: number;
  readonly limits: ChannelPlan;
  readonly conversion: Conversion;
  /** Of a powder. */
  readonly text: string | null;
  /** Length of the list of marks after it. */
  readonly marks: number;
}

/** What a template keeps of the record that has just been resolved. */
export function learntRecord(
  record: SenmlRecord,
  resolver: SenmlResolver,
  names: SensorNames,
  plan: StationPlan,
  marks: number,
): LearntRecord {
  const bare = (record.has & (LABEL.v | LABEL.vs | LABEL.vb | LABEL.vd | LABEL.s)) === 0;
  const channel = bare ? -1 : names.read(resolver.base, resolver.own).channel;
  const info = CHANNELS[channel];
  const lookup = info !== undefined && resolver.hasUnit ? lookUpUnit(info.dimension, resolver.unit) : null;
  return {
    has: record.has,
    channel,
    limits: plan.channels[Math.max(channel, 0)] as ChannelPlan,
    conversion: lookup?.kind === 'ok' ? lookup.conversion : CANONICAL,
    text: info?.kind === 'string' ? record.vs : null,
    marks,
  };
}
