import type { ConnectionHost } from './connection-host.ts';
import type { Owed } from './owed.ts';
import type { PublishHead } from './publish-head.ts';
import { Hold } from './reading-hold.ts';
import { isBrokersOwn } from './topics.ts';

/** What is done with a PUBLISH now; a number is the reason to hold it, and all behind it, back. */
export type PublishRoute =
  | number
  /** Readings, online states and whatever else is below the root. */
  | 'intake'
  /** Other topics. */
  | 'subscribers'
  /** Not for this account: acknowledged, and nobody gets it [MQTT-3.3.5-2]. */
  | 'denied'
  /** Topics of the broker itself, where nobody else publishes: acknowledged, and nobody gets it. */
  | 'nowhere';

/** Chooses a PUBLISH's way. PUBACKs and PUBRECs leave in the order of their PUBLISH [MQTT-4.6.0-2] [MQTT-4.6.0-3]: none may overtake the intake's. */
export function publishRoute(head: PublishHead, owed: Owed, host: ConnectionHost, account: string): PublishRoute {
  const { topic } = head.known;
  const allowed = host.access.mayPublish(account, topic);
  if (!allowed || topic.kind === 'foreign') {
    if (head.qos > 0 && owed.answers > 0) return Hold.ORDER;
    if (!allowed) return 'denied';
    return isBrokersOwn(topic.name) ? 'nowhere' : 'subscribers';
  }
  if (host.sink.saturated) return Hold.SATURATED;
  return owed.full ? Hold.WAITING : 'intake';
}
