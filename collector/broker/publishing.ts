import type { Client } from './client.ts';
import type { ConnectionHost } from './connection-host.ts';
import type { Delivery, DeliveryOrigin } from './delivery.ts';
import { Owed } from './owed.ts';
import type { PublishHead } from './publish-head.ts';
import { publishRoute } from './publish-route.ts';

/** A connection as its publishing side needs it. */
export interface PublishLink {
  readonly ended: boolean;
  acknowledge(packetId: number): void;
  denied(what: string): void;
  /** Something has been settled. */
  eased(): void;
}

/** The messages that one client publishes, from the packet to the acknowledgement. */
export class Publishing implements DeliveryOrigin {
  readonly owed: Owed;
  readonly #host: ConnectionHost;
  readonly #link: PublishLink;

  constructor(host: ConnectionHost, link: PublishLink) {
    this.#host = host;
    this.#link = link;
    this.owed = new Owed(host.limits);
  }

  /**
   * Sends a message on its way.
   *
   * @param payload a view of the bytes received, valid until the message is settled
   * @param bytes of the whole packet
   * @returns the reason to hold it back, 0 when it has been taken
   */
  take(head: PublishHead, payload: Buffer, bytes: number, client: Client): number {
    const host = this.#host;
    const { account, clientId } = client.session;
    const route = publishRoute(head, bytes, this.owed, host, account);
    if (typeof route === 'number') return route;
    const { qos, packetId } = head;
    const { topic, allowance } = head.known;
    if (qos === 2 && !client.isNew(packetId)) return 0;
    if (route === 'intake') {
      const origin = qos === 2 ? this.#secondOrigin(client, packetId) : this;
      const delivery = { topic, allowance, payload, clientId, origin, packetId: qos === 1 ? packetId : 0 };
      this.owed.taken(delivery);
      host.sink.take(delivery);
      return 0;
    }
    if (route === 'subscribers') host.sessions.publish(topic.name, payload, qos, head.retain, false);
    else if (route === 'denied') this.#link.denied(`publish to ${JSON.stringify(topic.name)}`);
    else host.counters.discarded++;
    if (qos === 1) this.#link.acknowledge(packetId);
    else if (qos === 2) client.taken(packetId);
    return 0;
  }

  settled(delivery: Delivery, accepted: boolean): void {
    this.owed.settled(delivery);
    this.#judged(delivery, accepted, delivery.packetId > 0 ? 1 : 0);
    if (this.#link.ended) return;
    if (delivery.packetId > 0) this.#link.acknowledge(delivery.packetId);
    this.#link.eased();
  }

  /** Where a QoS 2 message below the root learns of its end: PUBREC instead of PUBACK. */
  #secondOrigin(client: Client, packetId: number): DeliveryOrigin {
    return {
      settled: (delivery, accepted) => {
        this.owed.settled(delivery);
        this.#judged(delivery, accepted, 2);
        client.taken(packetId);
        if (!this.#link.ended) this.#link.eased();
      },
    };
  }

  #judged(delivery: Delivery, accepted: boolean, qos: 0 | 1 | 2): void {
    if (accepted) this.#host.forward(delivery, qos);
    else delivery.allowance?.refused(delivery.payload.length);
  }
}
