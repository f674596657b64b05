/** PUBACKs in the order of their PUBLISHes, whoever settles first [MQTT-4.6.0-2]. */
export class AckOrder {
  readonly #owed: { readonly messageId: number; settled: boolean }[] = [];

  /** @returns what to call once the message may be acknowledged */
  owe(messageId: number): () => void {
    const entry = { messageId, settled: false };
    this.#owed.push(entry);
    return () => {
      entry.settled = true;
    };
  }

  get waiting(): number {
    return this.#owed.length;
  }

  /** Bytes of the PUBACKs that may leave now, of MQTT 3.1.1 and 5 alike: without a reason code they mean success. */
  takeBytes(): Buffer {
    let count = 0;
    while (count < this.#owed.length && this.#owed[count]!.settled) count++;
    const bytes = Buffer.alloc(4 * count);
    for (const [index, { messageId }] of this.#owed.splice(0, count).entries()) {
      bytes.writeUInt16BE(0x4002, 4 * index);
      bytes.writeUInt16BE(messageId, 4 * index + 2);
    }
    return bytes;
  }
}
