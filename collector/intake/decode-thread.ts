import { parentPort, workerData } from 'node:worker_threads';
import { runBehind } from '../background.ts';
import { senmlDecoder } from '../decode/senml.ts';
import type { DecodeAnswer, DecodeOrder, DecodeStart } from './long-packs.ts';

// Start-up file of the thread that decodes long packs.
if (parentPort === null) throw new Error('long packs are decoded in a thread of its own');
const port = parentPort;
// What others send goes first. Source of the 10: own choice, below the live analysis.
runBehind(10);
const { plant, limits } = workerData as DecodeStart;
const decode = senmlDecoder(plant, limits);

port.on('message', ({ id, payload, station, receivedAt }: DecodeOrder) => {
  const decoded = decode(Buffer.from(payload.buffer, payload.byteOffset, payload.length), station, receivedAt);
  if (!decoded.ok) {
    port.postMessage({ id, decoded, columns: null } satisfies DecodeAnswer);
    return;
  }
  const { times, channels, values } = decoded.pack;
  const columns = {
    times: Float64Array.from(times),
    channels: Uint8Array.from(channels),
    values: Float64Array.from(values),
  };
  const rest = { ...decoded, pack: { ...decoded.pack, times: [], channels: [], values: [] } };
  // Columns move over as they are; lists would be copied number by number, there too.
  const moved = Object.values(columns).map(({ buffer }) => buffer);
  port.postMessage({ id, decoded: rest, columns } satisfies DecodeAnswer, moved);
});
