import { CHANNELS } from '../contract/channels.ts';
import type { Pack } from '../contract/frames.ts';

/**
 * Readings as SenML packs (RFC 8428) in canonical units, each of at most `maxBytes`: readings that are kept apart stay
 * whole, whatever the quarantine keeps of one payload.
 *
 * @example
 * senmlPieces({ station: 'gun-01', times: [1500], channels: [0], values: [2.5], strings: [], provenance: '' }, 4096);
 * // ['[{"n":"conveying/pressure","t":1.5,"v":2.5}]']
 */
export function senmlPieces(pack: Pack, maxBytes: number): string[] {
  const pieces: string[] = [];
  let piece = '';
  for (let index = 0; index < pack.times.length; index++) {
    const record = senmlRecord(pack, index);
    if (piece !== '' && Buffer.byteLength(piece) + Buffer.byteLength(record) + 3 > maxBytes) {
      pieces.push(`[${piece}]`);
      piece = '';
    }
    piece += piece === '' ? record : `,${record}`;
  }
  if (piece !== '') pieces.push(`[${piece}]`);
  return pieces;
}

function senmlRecord(pack: Pack, index: number): string {
  const { name, kind } = CHANNELS[pack.channels[index]!]!;
  const value = pack.values[index]!;
  const t = pack.times[index]! / 1000;
  if (kind === 'string') return JSON.stringify({ n: name, t, vs: pack.strings[value] ?? '' });
  return JSON.stringify(kind === 'boolean' ? { n: name, t, vb: value !== 0 } : { n: name, t, v: value });
}
