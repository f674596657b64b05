import { worth } from './allowance.ts';
import type { Burden, Loan } from './burden.ts';
import type { Client } from './client.ts';
import type { ConnectionHost } from './connection-host.ts';
import type { Delivery, DeliveryOrigin } from './delivery.ts';
import { Owed } from './owed.ts';
import { packetFault } from './packet-check.ts';
import type { PacketScanner } from './packet-scanner.ts';
import type { PublishHead } from './publish-head.ts';
import { publishRoute } from './publish-route.ts';
import { Hold } from './reading-hold.ts';

/** A connection as its publishing side needs it. */
export interface PublishLink {
  readonly ended: boolean;
  readonly burden: Burden;
  acknowledge(packetId: number): void;
  denied(what: string): void;
  /** Something has been settled. */
  eased(): void;
  /** So many bytes more of this turn have been its own. */
  spend(bytes: number): void;
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
   * Sends a message on its way. Its payload is a view of the bytes received, valid until it is settled.
   *
   * @param scanner with a whole PUBLISH at hand
   * @returns the reason to hold it back, 0 when it has been taken, or how it breaks the standard
   */
  packet({ buffer, start, body, end }: PacketScanner, client: Client): number | string {
    const { publishHead: head, knownTopic, limits } = this.#host;
    if (!head.read(buffer, start, body, end, knownTopic))
      return packetFault(buffer, start, body, end, limits) ?? 'the PUBLISH cannot be read';
    return this.#take(head, buffer.subarray(head.payloadStart, end), end - start, client);
  }

  #take(head: PublishHead, payload: Buffer, bytes: number, client: Client): number {
    const host = this.#host;
    const { qos, packetId } = head;
    const { topic } = head.known;
    const route = publishRoute(head, this.owed, host, client.session.account);
    if (typeof route === 'number') return route;
    if (qos === 2 && client.hasTaken(packetId)) return this.#again(client, packetId);
    if (route === 'intake') return this.#toIntake(head, payload, bytes, client);
    if (!this.#link.burden.may) return this.#throttled(Hold.CREDIT);
    this.#link.burden.others(worth(bytes));
    if (qos === 2 && !client.begins(packetId)) return 0;
    if (route === 'subscribers')
      this.#passed(host.sessions.publish(topic.name, payload, qos, head.retain, false), bytes);
    else if (route === 'denied') this.#link.denied(`publish to ${JSON.stringify(topic.name)}`);
    else host.counters.discarded++;
    if (qos === 1) this.#link.acknowledge(packetId);
    else if (qos === 2) client.taken(packetId);
    return 0;
  }

  settled(delivery: Delivery, accepted: boolean): void {
    this.owed.settled(delivery, delivery.packetId > 0);
    this.#judged(delivery, accepted, delivery.packetId > 0 ? 1 : 0);
    if (this.#link.ended) return;
    if (delivery.packetId > 0) this.#link.acknowledge(delivery.packetId);
    this.#link.eased();
  }

  #toIntake({ qos, packetId, known }: PublishHead, payload: Buffer, bytes: number, client: Client): number {
    const host = this.#host;
    const { topic, allowance } = known;
    const loan = this.#link.burden.lends(worth(payload.length));
    if (loan === null) return this.#throttled(Hold.CREDIT);
    if (allowance !== null && !allowance.take(host.sweeps, bytes)) {
      this.#link.burden.returned(worth(payload.length), loan);
      return this.#throttled(Hold.RATE);
    }
    if (qos === 2 && !client.begins(packetId)) return 0;
    const origin = qos === 2 ? this.#secondOrigin(client, packetId) : this;
    const { clientId } = client.session;
    const delivery = { topic, loan, payload, clientId, origin, packetId: qos === 1 ? packetId : 0 };
    this.owed.taken(delivery, qos > 0);
    host.sink.take(delivery);
    return 0;
  }

  /** QoS 2, sent again: acknowledged, once its first has been taken and in its turn, and goes nowhere [MQTT-4.3.3-2]. */
  #again(client: Client, packetId: number): number {
    if (this.owed.answers > 0) return Hold.ORDER;
    client.takenBefore(packetId);
    return 0;
  }

  /** Messages to many subscribers are many messages. */
  #passed(subscribers: number, bytes: number): void {
    if (subscribers === 0) return;
    this.#link.burden.others(subscribers * worth(bytes));
    this.#link.spend(subscribers * bytes);
  }

  #throttled(why: number): number {
    this.#host.counters.throttled++;
    return why;
  }

  /** Where a QoS 2 message below the root learns of its end: PUBREC instead of PUBACK. */
  #secondOrigin(client: Client, packetId: number): DeliveryOrigin {
    return {
      settled: (delivery, accepted) => {
        this.owed.settled(delivery, true);
        this.#judged(delivery, accepted, 2);
        client.taken(packetId);
        if (!this.#link.ended) this.#link.eased();
      },
    };
  }

  #judged(delivery: Delivery, accepted: boolean, qos: 0 | 1 | 2): void {
    const size = worth(delivery.payload.length);
    const loan = delivery.loan as Loan;
    if (accepted) {
      this.#link.burden.accepted(size, loan);
      this.#host.forward(delivery, qos);
    } else this.#link.burden.refused(size, loan);
  }
}
