import { channelIndex } from '../contract/channels.ts';
import type { Pack } from '../contract/frames.ts';
import { CHANNEL_STEPS } from '../contract/resolution.ts';
import { type Section, WIDE } from './batch.ts';

const POWDER = channelIndex('powder/id');

/** The pack that a section of a batch was made of. */
export function packOf(section: Section): Pack {
  const { station, provenance, view, end, texts } = section;
  const pack: Pack = { station, times: [], channels: [], values: [], strings: [...texts], provenance };
  for (let at = section.start; at < end; ) {
    const time = view.getFloat64(at, true);
    let count = view.getUint16(at + 8, true);
    at += 10;
    for (; count > 0; count--) {
      const tag = view.getUint8(at);
      const channel = tag & ~WIDE;
      const steps = tag & WIDE ? view.getFloat64(at + 1, true) : view.getInt32(at + 1, true);
      const isWhole = (tag & WIDE) !== 0 || channel === POWDER;
      pack.times.push(time);
      pack.channels.push(channel);
      pack.values.push(isWhole ? steps : steps / (CHANNEL_STEPS[channel] as number));
      at += tag & WIDE ? 9 : 5;
    }
  }
  return pack;
}
