import type { Socket } from 'node:net';
import { worth } from './allowance.ts';
import type { ConnectionHost, HostedConnection } from './connection-host.ts';
import { PacketScanner } from './packet-scanner.ts';
import { Hold, ReadingHold } from './reading-hold.ts';
import { TurnShare } from './turn-share.ts';

/** What a packet takes however short it is, as bytes of a turn, and a CONNECT. Source: own choice: an answer goes with the one, a session with the other. */
const LEAST_BYTES = 100;
export const CONNECT_BYTES = 6144;

/** Whoever deals with the packets. */
export interface PacketTaker extends HostedConnection {
  readonly ended: boolean;
  /** Deals with the packet at hand. */
  packet(scanner: PacketScanner): void;
  /** Sends something that is due before the next packet. @returns its bytes, 0 where nothing is due, null where it has to wait */
  sendDue(): number | null;
  fail(why: string): void;
}

/** The packets of one connection, one after the other: within its share of each turn, and while there is no reason to wait. */
export class PacketTurns {
  readonly scanner: PacketScanner;
  readonly #host: ConnectionHost;
  readonly #taker: PacketTaker;
  readonly #hold: ReadingHold;
  readonly #share = new TurnShare();
  #processing = false;

  constructor(host: ConnectionHost, socket: Socket, taker: PacketTaker) {
    this.#host = host;
    this.#taker = taker;
    this.#hold = new ReadingHold(socket);
    this.scanner = new PacketScanner(host.limits.maxPacketBytes);
  }

  /** Whether there is a reason to wait, any or this one. */
  waits(reason?: number): boolean {
    return reason === undefined ? this.#hold.held : this.#hold.has(reason);
  }

  received(chunk: Buffer): void {
    this.scanner.push(chunk);
    // Pieces of a long packet count too: megabytes, taken in as fast as they come, would go before everybody else's packets.
    if (this.scanner.waiting) this.spend(chunk.length);
    if (this.scanner.isLong) this.#taker.burden.begins(worth(chunk.length));
    if (this.#hasToWait) this.#putOffCredit();
    this.#process();
  }

  /** So many bytes more of this turn have been this connection's. */
  spend(bytes: number): void {
    if (this.#share.spend(bytes, this.#host.turn()) && this.#hold.addFirst(Hold.TURN))
      this.#host.queueTurn(this.#taker);
  }

  /** The packet at hand is looked at again once this reason is gone. */
  putOff(reason: number): void {
    this.scanner.unread();
    this.#hold.add(reason);
  }

  /** Reads nothing more for this reason. */
  hold(reason: number): void {
    this.#hold.add(reason);
  }

  /** A long packet of which it is known that it has to wait need not come in before. */
  get #hasToWait(): boolean {
    return this.scanner.isLong && !this.#taker.burden.may;
  }

  release(reason: number): void {
    if (reason === Hold.CREDIT && this.#hasToWait) return;
    if (!this.#hold.remove(reason) || this.#taker.ended) return;
    this.#process();
    if (!this.#taker.ended) this.#hold.resume();
  }

  /** The same for what many wait for at once: once all have had their share of this turn, it has its own in a later one. */
  releaseInTurn(reason: number): void {
    if (this.#hold.has(reason) && !this.#hasToWait && this.#host.turn().over) {
      if (this.#hold.swap(reason, Hold.TURN)) this.#host.queueTurn(this.#taker);
    } else this.release(reason);
  }

  #putOffCredit(): void {
    this.#host.counters.throttled++;
    this.#hold.add(Hold.CREDIT);
  }

  #process(): void {
    // Not entered twice: a packet may bring about what releases a hold.
    if (this.#processing) return;
    this.#processing = true;
    while (!this.#hold.held && !this.#taker.ended && this.#step());
    this.#processing = false;
    if (!this.#taker.ended && this.scanner.fault !== null) this.#taker.fail(this.scanner.fault);
  }

  #step(): boolean {
    const { scanner } = this;
    const due = this.#taker.sendDue();
    if (due === null) this.#putOffCredit();
    else if (due > 0) this.spend(due);
    else if (!scanner.next()) return false;
    else {
      this.#taker.burden.whole();
      const bytes = scanner.end - scanner.start;
      this.#taker.packet(scanner);
      this.spend(Math.max(LEAST_BYTES, bytes));
    }
    return true;
  }
}
