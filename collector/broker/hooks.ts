import type { AedesOptions, PublishPacket } from 'aedes';
import type { Delivery, DeliveryOrigin, DeliverySink } from './delivery.ts';
import type { ReadingSubscribers } from './reading-subscribers.ts';
import { parseTopic } from './topics.ts';

/** Where refused messages are sent that aedes insists on publishing: nobody may subscribe there. */
const NOWHERE = '$driftline/refused';

/** Refuses subscriptions to topics of the broker's own, `$SYS` apart. */
export function maySubscribe(filter: string): boolean {
  return !filter.startsWith('$') || filter.startsWith('$SYS/');
}

export interface HookParts {
  readonly root: string;
  readonly sink: DeliverySink;
  readonly subscribers: ReadingSubscribers;
  /** True while the broker shuts down: its clients are alive, so their wills are not published. */
  readonly stopping: () => boolean;
}

/**
 * What aedes asks us. Publishes of QoS 0 and 1 do not come by here: the connection sends them to the intake itself. QoS 2
 * and wills do; the answer to aedes, and with it PUBREC, waits for the commit.
 */
export function brokerHooks(parts: HookParts): Pick<AedesOptions, 'authorizePublish' | 'authorizeSubscribe'> {
  return {
    authorizePublish(client, packet, callback) {
      const topic = parseTopic(parts.root, packet.topic);
      // A will comes as its four fields of CONNECT, without a packet's `cmd`.
      const will = (packet as { cmd?: string }).cmd !== 'publish';
      if (will && parts.stopping()) callback(new Error('the broker is stopping'));
      else if (topic.name.startsWith('$')) callback(new Error('topics that start with "$" belong to the broker'));
      else if (topic.kind === 'foreign') callback(null);
      else {
        const origin = will ? willOrigin(packet, callback) : messageOrigin(packet, callback);
        const payload = Buffer.isBuffer(packet.payload) ? packet.payload : Buffer.from(packet.payload);
        parts.sink.take({ topic, payload, clientId: client?.id ?? '', origin, packetId: 0 });
      }
    },
    authorizeSubscribe(client, subscription, callback) {
      if (!maySubscribe(subscription.topic)) {
        callback(null, null);
        return;
      }
      parts.subscribers.add(client.id, subscription.topic);
      callback(null, subscription);
    },
  };
}

type Callback = (error?: Error | null) => void;

/** A refused will is dropped; an accepted one goes on to subscribers. */
function willOrigin(will: PublishPacket, callback: Callback): DeliveryOrigin {
  return {
    settled(delivery, accepted) {
      markRetained(will, delivery);
      callback(accepted ? null : new Error('refused'));
    },
  };
}

/** A refused message has to be acknowledged all the same, so aedes publishes it where nobody listens. */
function messageOrigin(packet: PublishPacket, callback: Callback): DeliveryOrigin {
  return {
    settled(delivery, accepted) {
      markRetained(packet, delivery);
      if (!accepted) packet.topic = NOWHERE;
      callback(null);
    },
  };
}

/** Online states are always retained, and readings never: they are in the store. */
function markRetained(packet: PublishPacket, delivery: Delivery): void {
  packet.retain = delivery.topic.kind === 'online';
}

/** A committed delivery as aedes publishes it to subscribers. */
export function forwardedPacket(delivery: Delivery): PublishPacket {
  return {
    cmd: 'publish',
    topic: delivery.topic.name,
    payload: delivery.payload,
    qos: delivery.packetId > 0 ? 1 : 0,
    dup: false,
    retain: delivery.topic.kind === 'online',
  };
}
