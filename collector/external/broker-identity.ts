import type { States } from '../store/store.ts';

const KEY = 'external-broker';

/** By what the broker knows us: it must stay the same, or the session with all that waits in it is another's. */
export interface BrokerIdentity {
  readonly clientId: string;
  /** Filters that the session at the broker holds. */
  readonly filters: readonly string[];
}

/**
 * What was kept of earlier runs; the client id is made once.
 *
 * @param newId makes an id that nobody else has
 */
export function readIdentity(states: States, newId: () => string): BrokerIdentity {
  const bytes = states.get(KEY);
  if (bytes !== null) return JSON.parse(Buffer.from(bytes).toString('utf8')) as BrokerIdentity;
  const made = { clientId: newId(), filters: [] };
  keepIdentity(states, made);
  return made;
}

export function keepIdentity(states: States, identity: BrokerIdentity): void {
  states.put(KEY, Buffer.from(JSON.stringify(identity)));
}
