import { isIPv6 } from 'node:net';
import { Allowance } from './allowance.ts';
import type { BrokerLimits } from './limits.ts';

/** Groups of an IPv6 address that stand for its network: whoever has one has all that begin alike. Source: RFC 4291 section 2.5.4. */
const NETWORK_GROUPS = 4;

/** Seconds of connections that may come at once, as a hall's nodes do after a restart. Source: own choice. */
const AT_ONCE_S = 20;

/** One account or address, with all its connections. */
export class Peer {
  /** Connections that it has now. */
  connections = 0;
  /** What may still be refused of it. */
  readonly refusals: Allowance;
  /** Connections that it may still open. */
  readonly connects: Allowance;

  constructor({ maxRefusedPerSecond, maxConnectsPerSecond }: PeerLimits, sweep: number) {
    this.refusals = new Allowance(maxRefusedPerSecond, sweep);
    this.connects = new Allowance(maxConnectsPerSecond, sweep, AT_ONCE_S * maxConnectsPerSecond);
  }

  owesNothing(sweep: number): boolean {
    return this.connections === 0 && this.refusals.isWhole(sweep) && this.connects.isWhole(sweep);
  }
}

export type PeerLimits = Pick<BrokerLimits, 'maxRefusedPerSecond' | 'maxConnectsPerSecond'>;

/** All accounts and addresses that are connected, or still owe. */
export class Peers {
  readonly #limits: PeerLimits;
  readonly #known = new Map<string, Peer>();

  constructor(limits: PeerLimits) {
    this.#limits = limits;
  }

  ofAddress(address: string | undefined, sweep: number): Peer {
    return this.#of(`address ${networkOf(address ?? '')}`, sweep);
  }

  ofAccount(account: string, sweep: number): Peer {
    return this.#of(`account ${account}`, sweep);
  }

  /** Forgets those that are gone and owe nothing. */
  sweep(sweep: number): void {
    for (const [name, peer] of this.#known) if (peer.owesNothing(sweep)) this.#known.delete(name);
  }

  #of(name: string, sweep: number): Peer {
    const known = this.#known.get(name);
    if (known !== undefined) return known;
    const peer = new Peer(this.#limits, sweep);
    this.#known.set(name, peer);
    return peer;
  }
}

/**
 * The part of an address that one peer has to itself: all of IPv4, the network of IPv6.
 *
 * @example
 * networkOf('2001:db8::1:2'); // '2001:db8:0:0'
 */
export function networkOf(address: string): string {
  const plain = address.replace(/^::ffff:(?=\d+\.)/i, '').replace(/%.*$/, '');
  if (!isIPv6(plain)) return plain;
  const [front = '', back] = plain.split('::');
  const groups = front === '' ? [] : front.split(':');
  const after = back === undefined || back === '' ? [] : back.split(':');
  while (groups.length + after.length < 8) groups.push('0');
  return [...groups, ...after].slice(0, NETWORK_GROUPS).join(':');
}
