import { PacketType } from './packet-check.ts';

/** PUBACKs that are due, to leave in one write. */
export class Pubacks {
  #packetIds: number[] = [];

  get count(): number {
    return this.#packetIds.length;
  }

  add(packetId: number): void {
    this.#packetIds.push(packetId);
  }

  /** The packets in the order added; none are due afterwards. */
  takeBytes(): Buffer {
    const ids = this.#packetIds;
    this.#packetIds = [];
    const bytes = Buffer.allocUnsafe(4 * ids.length);
    for (let index = 0, at = 0; index < ids.length; index++, at += 4) {
      bytes[at] = PacketType.PUBACK << 4;
      bytes[at + 1] = 2;
      bytes[at + 2] = ids[index]! >> 8;
      bytes[at + 3] = ids[index]! & 0xff;
    }
    return bytes;
  }
}
