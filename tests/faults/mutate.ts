import { uniformInt } from 'pure-rand/distribution/uniformInt';
import type { RandomGenerator } from 'pure-rand/types/RandomGenerator';

/** A packet with a few faults: bits and bytes changed, pieces cut out, doubled, put in, or the end cut off. */
export function mutated(packet: Buffer, other: Buffer, random: RandomGenerator): Buffer {
  let bytes = Buffer.from(packet);
  const upTo = (most: number): number => uniformInt(random, 0, Math.max(0, most));
  for (let faults = uniformInt(random, 1, 4); faults > 0; faults--) {
    const at = upTo(bytes.length - 1);
    const to = Math.min(bytes.length, at + uniformInt(random, 1, 8));
    switch (uniformInt(random, 0, 6)) {
      case 0:
        if (bytes.length > 0) bytes[at]! ^= 1 << uniformInt(random, 0, 7);
        break;
      case 1:
        if (bytes.length > 0) bytes[at] = upTo(255);
        break;
      case 2:
        bytes = Buffer.concat([bytes.subarray(0, at), bytes.subarray(to)]);
        break;
      case 3:
        bytes = Buffer.concat([bytes.subarray(0, to), bytes.subarray(at)]);
        break;
      case 4:
        bytes = Buffer.concat([
          bytes.subarray(0, at),
          Buffer.from(Array.from({ length: to - at }, () => upTo(255))),
          bytes.subarray(at),
        ]);
        break;
      case 5:
        bytes = bytes.subarray(0, at);
        break;
      default:
        bytes = Buffer.concat([bytes.subarray(0, at), other.subarray(upTo(other.length - 1))]);
    }
  }
  return bytes;
}
