import type { Pack } from '../../../collector/contract/frames.ts';

/** Frames of one pack. */
export const FRAMES = 700;
export const STATIONS = ['gun-01', 'gun-02', 'gun-03'];

/** Value of a frame and channel, as a function of the frame's number; three digits, which both channels keep. */
function killedValue(frame: number, channel: number): number {
  return ((Math.imul(frame + 1, 0x9e3779b1) >>> 12) + channel) / 1e3;
}

/** Pack number n: frames n·FRAMES … of one of the stations, two channels each; every third pack comes late. */
export function killedPack(number: number): Pack {
  const place = number % 3 === 0 ? number + 60 : number;
  const pack: Pack = {
    station: STATIONS[number % STATIONS.length]!,
    times: [],
    channels: [],
    values: [],
    strings: [],
    provenance: 'urn:dev:test:',
  };
  for (let i = 0; i < FRAMES; i++) {
    for (const channel of [0, 1]) {
      pack.times.push(framesTime(place, i));
      pack.channels.push(channel);
      pack.values.push(killedValue(number * FRAMES + i, channel));
    }
  }
  return pack;
}

/** Packs of a number's place interleave with those around it, so that chunks are opened again. */
function framesTime(place: number, frame: number): number {
  return 1_760_000_000_000 + (place >> 3) * FRAMES * 1000 + frame * 1000 + (place & 7);
}
