import type { Owed } from './owed.ts';
import type { PublishHead } from './publish-head.ts';
import { Hold } from './reading-hold.ts';

/** What is done with a PUBLISH now; a number is the reason to hold it, and all behind it, back. */
export type PublishRoute =
  | number
  /** Readings, online states and whatever else is below the root, with QoS 0 or 1. */
  | 'intake'
  /** Other topics, and QoS 2, whose handshake aedes knows; it asks us before it answers. */
  | 'aedes'
  /** Topics of the broker itself, where nobody else publishes: acknowledged, and nobody gets it. */
  | 'nowhere';

/**
 * Chooses a PUBLISH's way. PUBACKs leave in the order of their PUBLISH [MQTT-4.6.0-2]: aedes and the intake may not
 * overtake each other.
 */
export function publishRoute(head: PublishHead, owed: Owed, saturated: boolean): PublishRoute {
  const { topic, qos } = head;
  const forBroker = topic.name.startsWith('$');
  if (qos === 2 || (topic.kind === 'foreign' && !forBroker))
    return qos === 1 && owed.byIntake > 0 ? Hold.ORDER : 'aedes';
  if (qos === 1 && (owed.byAedes > 0 || (forBroker && owed.byIntake > 0))) return Hold.ORDER;
  if (forBroker) return 'nowhere';
  if (saturated) return Hold.SATURATED;
  return owed.full ? Hold.WAITING : 'intake';
}
