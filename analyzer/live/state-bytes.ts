import { deserialize, serialize } from 'node:v8';
import { deflateRawSync, inflateRawSync } from 'node:zlib';

/** Memory that zlib asks for at a time, bytes. Source: what Node takes at least, and by default. */
const LEAST_CHUNK = 64;
const MOST_CHUNK = 16_384;

/**
 * Bytes from which a state is packed. Source: own choice: deflate sets up 256 KB for each call (zlib's zconf.h, "memory
 * requirements for deflate"), a hundred times what packing saves of what each of hundreds of stations writes down every few
 * seconds; and between two of them the process's memory got holes, which grew for as long as one looked.
 */
const PACKED_BYTES = 4096;

/** First byte of what V8 serializes (its version tag); no deflate stream begins so: its block type would be the reserved one (RFC 1951, section 3.2.3). */
const PLAIN = 0xff;

/** A state as bytes for the store: structured cloning keeps NaN and number arrays as they are. */
export function packState(state: unknown): Uint8Array {
  const bytes = serialize(state);
  if (bytes.length < PACKED_BYTES) return bytes;
  // What zlib gives is the beginning of as much memory as this, however little there is in it: a copy lets go of the rest.
  const chunkSize = Math.max(LEAST_CHUNK, Math.min(MOST_CHUNK, bytes.length));
  return Uint8Array.from(deflateRawSync(bytes, { level: 1, chunkSize }));
}

/** What `packState` packed. */
export function unpackState<State>(bytes: Uint8Array): State {
  return deserialize(bytes[0] === PLAIN ? bytes : inflateRawSync(bytes)) as State;
}
