import { lookup as systemLookup } from 'node:dns';
import { request as plainRequest } from 'node:http';
import { request as tlsRequest } from 'node:https';
import { isIP, type LookupFunction } from 'node:net';
import { isPrivateAddress } from './private-address.ts';

/** A message that will not go out however often it is tried. */
export class NeverDelivered extends Error {}

export interface Post {
  readonly url: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
  /** Hosts that may lie in private networks. */
  readonly allowPrivate: readonly string[];
  readonly signal?: AbortSignal;
  /** Finds addresses of a name; the system's by default. */
  readonly lookup?: LookupFunction;
  readonly timeoutMs?: number;
}

/** Source: own choice: a receiver that takes longer is asked again, and holds up nothing but its own messages. */
const TIMEOUT_MS = 10_000;

/**
 * Posts a message. The name is looked up once, each address is judged, and the connection goes to just that one: a name that changes its
 * mind between check and use leads nowhere. Redirects are not followed.
 *
 * @throws {NeverDelivered} where the target is private and not allowed
 * @throws {Error} where it is not reached, or answers with anything but 2xx
 */
export async function postWebhook(post: Post): Promise<void> {
  const { url, headers, body, allowPrivate, signal, lookup = systemLookup as LookupFunction } = post;
  const { protocol, hostname } = new URL(url);
  const host = hostname.replace(/^\[(.*)\]$/, '$1');
  const free = allowPrivate.includes(host);
  if (isIP(host) !== 0 && !free && isPrivateAddress(host)) throw refused(host, host);
  const limit = AbortSignal.timeout(post.timeoutMs ?? TIMEOUT_MS);
  const request = protocol === 'https:' ? tlsRequest : plainRequest;
  await new Promise<void>((resolve, reject) => {
    const sent = request(
      url,
      {
        method: 'POST',
        agent: false,
        headers: { 'Content-Type': 'application/json', 'Content-Length': Buffer.byteLength(body), ...headers },
        signal: signal ? AbortSignal.any([signal, limit]) : limit,
        lookup: (name, options, done) =>
          lookup(name, options, (error, found, family) => {
            if (error) return done(error, found, family);
            const addresses = typeof found === 'string' ? [found] : found.map(({ address }) => address);
            const bad = free ? undefined : addresses.find(isPrivateAddress);
            if (bad !== undefined) return done(refused(name, bad), '', 0);
            done(null, found, family);
          }),
      },
      (answer) => {
        // What it says beyond its status is of no interest, and may be endless.
        answer.destroy();
        const status = answer.statusCode ?? 0;
        if (status >= 200 && status < 300) resolve();
        else if (status >= 300 && status < 400) reject(new Error(`answered ${status}: redirects are not followed`));
        else reject(new Error(`answered ${status}`));
      },
    );
    sent.on('error', (error) => reject(limit.aborted ? new Error('no answer in time', { cause: error }) : error));
    sent.end(body);
  });
}

function refused(host: string, address: string): NeverDelivered {
  const where = host === address ? address : `${host} (${address})`;
  return new NeverDelivered(`${where} lies in a private network; allow it by telling.allowPrivate if it is yours`);
}
