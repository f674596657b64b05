import { deserialize, serialize } from 'node:v8';
import { deflateRawSync, inflateRawSync } from 'node:zlib';

/** Memory that zlib asks for at a time, bytes. Source: what Node takes at least, and by default. */
const LEAST_CHUNK = 64;
const MOST_CHUNK = 16_384;

/** A state as bytes for the store: structured cloning keeps NaN and number arrays as they are. */
export function packState(state: unknown): Uint8Array {
  const bytes = serialize(state);
  // What zlib gives is the beginning of as much memory as this, however little there is in it: a copy lets go of the rest.
  const chunkSize = Math.max(LEAST_CHUNK, Math.min(MOST_CHUNK, bytes.length));
  return Uint8Array.from(deflateRawSync(bytes, { level: 1, chunkSize }));
}

/** What `packState` packed. */
export function unpackState<State>(bytes: Uint8Array): State {
  return deserialize(inflateRawSync(bytes)) as State;
}
