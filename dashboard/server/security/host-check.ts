import { isIP } from 'node:net';
import type { RequestHandler } from 'express';
import { AppError } from '../../../collector/contract/index.ts';
import { plainText } from '../problem.ts';

const LOOPBACK = ['localhost', '127.0.0.1', '[::1]'];

/** True for an address that only this machine can reach. */
export function isLoopback(address: string): boolean {
  return address === 'localhost' || address === '::1' || /^127\.\d{1,3}\.\d{1,3}\.\d{1,3}$/.test(address);
}

/** The host name in a Host header, without its port; null when there is none. */
export function hostName(header: string | undefined): string | null {
  const match = /^(\[[0-9a-f:.]+\]|[^:/\s@]+)(?::\d{1,5})?$/i.exec(header ?? '');
  return match ? (match[1] as string).toLowerCase() : null;
}

/**
 * Refuses requests for another host: a web page from elsewhere whose name was made to point here (DNS rebinding) would
 * else be taken for our own. A name has to be one of ours; an address has to be the one that the connection came in at.
 *
 * @param bound address that the server listens on
 * @param allowed names beside the loopback ones
 */
export function hostCheck(bound: string, allowed: readonly string[]): RequestHandler {
  const names = new Set([...LOOPBACK, bound.toLowerCase(), ...allowed.map((name) => name.toLowerCase())]);
  const onlyHere = isLoopback(bound);
  return (request, _response, next) => {
    const name = hostName(request.headers.host);
    const known = name !== null && (names.has(name) || (!onlyHere && isOwnAddress(name, request.socket.localAddress)));
    if (!known)
      throw new AppError(
        'HOST_REFUSED',
        `asked for host "${plainText(request.headers.host ?? '')}"; expected ${[...names].join(', ')}`,
      );
    next();
  };
}

function isOwnAddress(name: string, local: string | undefined): boolean {
  const address = name.replace(/^\[|\]$/g, '');
  return isIP(address) !== 0 && local !== undefined && address === local.replace(/^::ffff:(?=\d+\.)/, '').toLowerCase();
}
