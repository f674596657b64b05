import { deserialize, serialize } from 'node:v8';
import { deflateRawSync, inflateRawSync } from 'node:zlib';

/** A state as bytes for the store: structured cloning keeps NaN and number arrays as they are. */
export function packState(state: unknown): Uint8Array {
  // A copy: what zlib gives is the beginning of 16 KiB of memory, all of which a kept checkpoint would hold on to.
  return Uint8Array.from(deflateRawSync(serialize(state), { level: 1 }));
}

/** What `packState` packed. */
export function unpackState<State>(bytes: Uint8Array): State {
  return deserialize(inflateRawSync(bytes)) as State;
}
