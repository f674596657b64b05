import { CHANNEL_NAMES, channelIndex } from '../contract/index.ts';
import { isSenmlName } from './senml-resolve.ts';

export interface SensorName {
  /** Whether RFC 8428 allows the resolved name. */
  readonly valid: boolean;
  /** Index of the channel that the name ends with, -1 for none. */
  readonly channel: number;
  /** What stands before the channel. */
  readonly provenance: string;
  readonly length: number;
}

/** Base names remembered, and names for each. Source: own choice, because 2000 guns have about as many base names. */
const MOST_BASES = 8192;
const MOST_OWN = 64;

/** Characters kept of the names of a pack's sensors. Source: own choice, because a station has a few sensors. */
const MOST_PROVENANCE = 1000;

/** Longest first, so that no channel hides behind a shorter one that it ends with. */
const BY_LENGTH = [...CHANNEL_NAMES].sort((left, right) => right.length - left.length);

/** Takes a resolved name apart: it ends with a channel, what stands before identifies the sensor. */
export function readSensorName(name: string): SensorName {
  const channel = BY_LENGTH.find((one) => name.endsWith(one));
  return {
    valid: isSenmlName(name),
    channel: channel === undefined ? -1 : channelIndex(channel),
    provenance: channel === undefined ? name : name.slice(0, -channel.length),
    length: name.length,
  };
}

/** The sensors of a pack with one more of them; names hold no blanks, so blanks can part them. */
export function withSensor(known: string | null, sensor: string): string {
  if (known === null) return sensor;
  return known.length >= MOST_PROVENANCE || known.split(' ').includes(sensor) ? known : `${known} ${sensor}`;
}

/** Remembers names taken apart: sensors send the same few for ever. */
export class SensorNames {
  private readonly bases = new Map<string, Map<string, SensorName>>();

  read(base: string, own: string): SensorName {
    let names = this.bases.get(base);
    const known = names?.get(own);
    if (known !== undefined) return known;
    if (names === undefined) {
      if (this.bases.size >= MOST_BASES) this.bases.clear();
      names = new Map();
      this.bases.set(base, names);
    }
    const name = readSensorName(base + own);
    if (names.size >= MOST_OWN) names.clear();
    // Names that are too long to be any sensor's are not worth the memory.
    if (name.length <= 256) names.set(own, name);
    return name;
  }
}
