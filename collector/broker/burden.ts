import type { Allowance } from './allowance.ts';
import type { Peer } from './peers.ts';

/** What a CONNECT that is refused costs beside the connection, in connections. Source: own choice: it is looked up, logged and ended. */
const REFUSED_CONNECT = 1;
/**
 * What a message costs that brings no readings and is no fault, in refused ones: those of other topics, filters, what is retained for them. Source: own choice:
 * by what one connection may cost it sends as many of them then as a station may of readings.
 */
const OTHER = 0.05;
/**
 * How much may be refused of a connection, whatever its neighbours do: at first, and at most once it has brought readings, a twentieth of each.
 * Source: own choice: one message in twenty, and no long one.
 */
const FIRST_MERIT = 4;
const MOST_MERIT = 32;

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
  #peer: Peer;
  #merit = FIRST_MERIT;
  #refusedLast = false;

  /**
   * @param sweep of the gate, now
   * @param own what may be refused of this connection
   * @param peer the address that it comes from
   */
  constructor(sweep: () => number, own: Allowance, peer: Peer) {
    this.#sweep = sweep;
    this.#own = own;
    this.#peer = peer;
    peer.connections++;
    peer.connects.spend(sweep(), 1);
  }

  /** From now on an account pays instead of the address. */
  signIn(account: Peer): void {
    this.end();
    this.#peer = account;
    account.connections++;
  }

  /** The connection has ended. What it owes its peer goes on owing. */
  end(): void {
    this.#peer.connections--;
  }

  /** Who pays beside it. */
  get peer(): Peer {
    return this.#peer;
  }

  /** Whether its CONNECT may come now, while its address pays. */
  get mayConnect(): boolean {
    return this.#peer.connects.has(this.#sweep());
  }

  refusedConnect(): void {
    this.#peer.connects.spend(this.#sweep(), REFUSED_CONNECT);
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
    const loan = this.#refusedLast ? 1 : OTHER;
    this.charge(loan * worth);
    return loan;
  }

  /** A pack that was let in has to wait for another reason. */
  returned(worth: number, loan: Loan): void {
    if (loan === 0) this.#merit += worth;
    else this.charge(-loan * worth);
  }

  /** A pack has brought readings. */
  accepted(worth: number, loan: Loan): void {
    this.returned(worth, loan);
    this.#merit = Math.min(MOST_MERIT, this.#merit + OTHER * worth);
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
