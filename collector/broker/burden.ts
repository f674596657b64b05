import type { Allowance } from './allowance.ts';
import type { Peer } from './peers.ts';

/** What a CONNECT that is refused costs beside the connection, in connections. Source: own choice: it is looked up, logged and ended. */
const WASTED_CONNECT = 1;
/**
 * What a message costs that brings no readings and is no fault, in refused ones: those of other topics, each filter, what is retained for them. Source: own choice:
 * by what one connection may cost it sends as many of them then as a station may of readings.
 */
const OTHER = 0.125;
/** What a pack is charged before it is judged, of a connection of which nothing was refused last. Source: own choice: one message in twenty. */
const LOAN = 0.05;
/**
 * How much may be refused of a connection, whatever its neighbours do: at first, and at most once it has brought readings, a twentieth of each.
 * Source: own choice: one message in twenty, and no long one.
 */
const FIRST_MERIT = 4;
const MOST_MERIT = 32;
const MERIT_OF_READING = 0.05;

/** What a pack has been charged before it was judged, as a share of what a refused one costs; 0: it was let in by merit. */
export type Loan = number;

/**
 * What one connection asks for that brings no readings: refused packs, other topics, filters. The connection pays, and so
 * does its peer: the account that it has signed in with, else the address that it comes from. Whoever owes is not read for a while;
 * but where only its neighbours behind the same address have spent all, one of which little was refused goes on.
 */
export class Burden {
  readonly #sweep: () => number;
  readonly #own: Allowance;
  readonly #address: Peer;
  #peer: Peer;
  #merit = FIRST_MERIT;
  /** What the address has been charged for a long will that has not been published. */
  #announced = 0;
  #begun = 0;
  #refusedLast = false;

  /**
   * @param sweep of the gate, now
   * @param own what may be refused of this connection
   * @param address that it comes from
   */
  constructor(sweep: () => number, own: Allowance, address: Peer) {
    this.#sweep = sweep;
    this.#own = own;
    this.#address = address;
    this.#peer = address;
    address.connections++;
  }

  /** From now on an account pays instead of the address, but for connecting. */
  signIn(account: Peer): void {
    this.#peer = account;
    account.connections++;
  }

  /** The connection has ended. What it owes its peer goes on owing. */
  end(): void {
    this.#address.connections--;
    if (this.#peer !== this.#address) this.#peer.connections--;
  }

  /** Who pays beside it. */
  get peer(): Peer {
    return this.#peer;
  }

  /**
   * A CONNECT comes, and its address pays: false where it has to wait. Connections that bring none cost their neighbours nothing.
   *
   * @param worth of the packet: a long one has a will, which is paid for before it is known what it brings
   */
  connects(worth: number): boolean {
    const sweep = this.#sweep();
    const { connects, refusals } = this.#address;
    const long = Math.max(0, worth - FIRST_MERIT);
    if (!connects.has(sweep) || (long > 0 && !refusals.has(sweep))) return false;
    connects.spend(sweep, 1);
    refusals.spend(sweep, long);
    this.#announced = long;
    return true;
  }

  /** There is no will, it was let go, or it was taken. */
  noWill(): void {
    this.#address.refusals.spend(this.#sweep(), -this.#announced);
    this.#announced = 0;
  }

  refusedWill(worth: number): void {
    const short = Math.min(worth, FIRST_MERIT);
    this.charge(short);
    this.#address.connects.spend(this.#sweep(), short);
  }

  /** A connection was of no use: its CONNECT was refused, or it broke the standard. */
  wasted(): void {
    this.#address.connects.spend(this.#sweep(), WASTED_CONNECT);
  }

  /** Whether something that brings no readings may be asked for now. */
  get may(): boolean {
    const sweep = this.#sweep();
    return this.#own.has(sweep) && this.#peer.refusals.has(sweep);
  }

  /** Asks for something that brings no readings: false where it has to wait. */
  asks(): boolean {
    if (!this.may) return false;
    this.others(1);
    return true;
  }

  /** Whether a pack may come of which it is not known yet what it brings; null where it has to wait. */
  lends(worth: number): Loan | null {
    if (this.#merit >= worth) {
      this.#merit -= worth;
      return 0;
    }
    if (!this.may) return null;
    // All of it after a refusal, or what is on its way together would cost many times what is left.
    const loan = this.#refusedLast ? 1 : LOAN;
    this.charge(loan * worth);
    return loan;
  }

  /** Some of a long packet has come, which is charged as a pack that is let in, until it is whole. */
  begins(worth: number): void {
    this.#begun += worth;
    this.charge(LOAN * worth);
  }

  /** It is whole, and is charged by what it is. */
  whole(): void {
    if (this.#begun > 0) this.charge(-LOAN * this.#begun);
    this.#begun = 0;
  }

  /** It will never be: what came of it has cost as much as a refused one. */
  brokenOff(): void {
    this.charge((1 - LOAN) * this.#begun);
    this.#begun = 0;
  }

  /** A pack that was let in has to wait for another reason. */
  returned(worth: number, loan: Loan): void {
    if (loan === 0) this.#merit += worth;
    else this.charge(-loan * worth);
  }

  /** A pack has brought readings. */
  accepted(worth: number, loan: Loan): void {
    this.returned(worth, loan);
    this.#merit = Math.min(MOST_MERIT, this.#merit + MERIT_OF_READING * worth);
    this.#refusedLast = false;
  }

  refused(worth: number, loan: Loan): void {
    this.charge((1 - loan) * worth);
    this.#refusedLast = true;
  }

  /** So many messages that are no readings, or as many times as one is passed on. */
  others(messages: number): void {
    this.charge(OTHER * messages);
  }

  charge(refusals: number): void {
    const sweep = this.#sweep();
    this.#own.spend(sweep, refusals);
    this.#peer.refusals.spend(sweep, refusals);
  }
}
