import type { Socket } from 'node:net';
import type { ConnectionHost } from './connection-host.ts';
import { Pubacks } from './pubacks.ts';

/** What a client may leave unread without the room of all. Source: own choice: some hundred conditions, 80 MB of five thousand clients. */
const OWN_BYTES = 16_384;

/** TCP's own watch for dead peers, ms. Source: own choice, because clients without a MQTT keep-alive have no other. */
const TCP_KEEP_ALIVE_MS = 60_000;

/** What is to leave for one client, gathered so that it leaves in few writes. */
export class Departures {
  readonly #socket: Socket;
  readonly #host: Pick<ConnectionHost, 'counters' | 'unreadRoom'>;
  readonly #acks = new Pubacks();
  readonly #writeSoon: () => void;
  #packets: Buffer[] = [];
  #bytes = 0;
  #due = false;
  /** Of the room that all clients share. */
  #taken = 0;

  /** @param writeSoon has `write` called once all that leaves together is known */
  constructor(socket: Socket, host: Pick<ConnectionHost, 'counters' | 'unreadRoom'>, writeSoon: () => void) {
    this.#socket = socket;
    this.#host = host;
    this.#writeSoon = writeSoon;
  }

  /** The client has been let in: what is written leaves at once, and TCP watches for its end. */
  begin(): void {
    this.#socket.setNoDelay(true);
    this.#socket.setKeepAlive(true, TCP_KEEP_ALIVE_MS);
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

  /** The same for what need not come: false where this client, and all together, leave too much unread. */
  addIfRoom(packet: Buffer): boolean {
    this.measure();
    if (this.unread + packet.length > OWN_BYTES && !this.#host.unreadRoom.take(packet.length)) return false;
    if (this.unread + packet.length > OWN_BYTES) this.#taken += packet.length;
    this.add(packet);
    return true;
  }

  /** Gives room back for what has been read. */
  measure(): void {
    const over = Math.max(0, this.unread - OWN_BYTES);
    if (over >= this.#taken) return;
    this.#host.unreadRoom.give(0, this.#taken - over);
    this.#taken = over;
  }

  /** The connection has ended: nothing waits any more. */
  end(): void {
    this.#host.unreadRoom.give(0, this.#taken);
    this.#taken = 0;
  }

  acknowledge(packetId: number): void {
    this.#acks.add(packetId);
    this.#soon();
  }

  /** Writes what has gathered, PUBACKs first. */
  write(): void {
    this.#due = false;
    if (this.#acks.count > 0) {
      this.#host.counters.acknowledged += this.#acks.count;
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
