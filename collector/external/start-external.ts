import { randomBytes } from 'node:crypto';
import type { DeliverySink } from '../broker/delivery.ts';
import type { Log } from '../log.ts';
import type { Store } from '../store/store.ts';
import { keepIdentity, readIdentity } from './broker-identity.ts';
import { readBrokerSecrets } from './broker-secrets.ts';
import type { ExternalBroker } from './external-broker-config.ts';
import type { ExternalClient } from './external-client.ts';
import type { Presence } from './external-client-options.ts';
import { openSocket } from './open-socket.ts';

export interface ExternalParts {
  readonly config: ExternalBroker;
  readonly root: string;
  readonly site: string;
  /** Filters of the configuration's mappings, beside the contract's own topics. */
  readonly filters: readonly string[];
  readonly claims: (topic: string) => boolean;
  readonly presence: Presence | null;
  readonly store: Store;
  readonly sink: DeliverySink;
  readonly now: () => number;
  readonly clock: () => number;
  readonly log: Log;
}

/**
 * Starts following the external broker; connects whenever that can be reached.
 *
 * @returns null when none is configured
 * @throws {AppError} CONFIG_INVALID: a file that the configuration names cannot be read, or is none of its kind
 */
export async function startExternal(parts: ExternalParts): Promise<ExternalClient | null> {
  const { config, root, site, filters, store, ...rest } = parts;
  const { url } = config;
  if (url === null) return null;
  const secrets = await readBrokerSecrets(config);
  const kept = readIdentity(store.states, () => `driftline-${randomBytes(8).toString('hex')}`);
  const clientId = config.clientId ?? kept.clientId;
  // A tenth of a second, which those need not pay that have no such broker.
  const { ExternalClient } = await import('./external-client.ts');
  const client = new ExternalClient({
    ...rest,
    config,
    root,
    // What another client id had subscribed to is another session's.
    identity: { clientId, filters: clientId === kept.clientId ? kept.filters : [] },
    password: secrets.password,
    filters: [...new Set([`${root}/${site}/+`, `${root}/${site}/+/online`, ...filters])],
    openSocket: (opened) => openSocket(url, secrets, opened),
    onSubscribed: (held) => keepIdentity(store.states, { clientId, filters: held }),
    random: () => randomBytes(4).readUInt32BE() / 2 ** 32,
  });
  client.start();
  return client;
}
