import type { Socket } from 'node:net';
import type { GateCounters } from './connection-host.ts';
import { Pubacks } from './pubacks.ts';

/** What is to leave for one client, gathered so that it leaves in few writes. */
export class Departures {
  readonly #socket: Socket;
  readonly #counters: GateCounters;
  readonly #acks = new Pubacks();
  readonly #writeSoon: () => void;
  #packets: Buffer[] = [];
  #bytes = 0;
  #due = false;

  /** @param writeSoon has `write` called once all that leaves together is known */
  constructor(socket: Socket, counters: GateCounters, writeSoon: () => void) {
    this.#socket = socket;
    this.#counters = counters;
    this.#writeSoon = writeSoon;
  }

  /** Bytes that the client has not read yet. */
  get unread(): number {
    return this.#socket.writableLength + this.#bytes;
  }

  add(packet: Buffer): void {
    this.#packets.push(packet);
    this.#bytes += packet.length;
    this.#soon();
  }

  acknowledge(packetId: number): void {
    this.#acks.add(packetId);
    this.#soon();
  }

  /** Writes what has gathered, PUBACKs first. */
  write(): void {
    this.#due = false;
    if (this.#acks.count > 0) {
      this.#counters.acknowledged += this.#acks.count;
      this.#socket.write(this.#acks.takeBytes());
    }
    const packets = this.#packets;
    if (packets.length === 0) return;
    this.#socket.write(packets.length === 1 ? packets[0]! : Buffer.concat(packets));
    this.forget();
  }

  forget(): void {
    this.#packets = [];
    this.#bytes = 0;
  }

  #soon(): void {
    if (this.#due) return;
    this.#due = true;
    this.#writeSoon();
  }
}
