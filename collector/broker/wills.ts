import { worth } from './allowance.ts';
import type { ConnectionHost, DueWill } from './connection-host.ts';
import type { Delivery } from './delivery.ts';
import { isBrokersOwn } from './topics.ts';

/** What publishing a will takes beside its bytes, as bytes of a turn. Source: own choice: a message to the intake, measured. */
const WILL_BYTES = 1024;

/** Wills that are to be published. When a hall loses its power there are thousands at once: they go in turns. */
export class Wills {
  /** By client id, oldest first: one is out before its client is let in again, so there are never two. */
  readonly #due = new Map<string, DueWill>();
  readonly #host: ConnectionHost;

  constructor(host: ConnectionHost) {
    this.#host = host;
  }

  add(due: DueWill): void {
    if (!isBrokersOwn(due.will.topic)) this.#due.set(due.clientId, due);
  }

  /** Publishes wills until all are out, or all have had their share of this turn. */
  publishSome(): void {
    for (const clientId of this.#due.keys()) {
      if (this.#host.turn().over) return;
      this.before(clientId);
    }
  }

  publishAll(): void {
    for (const clientId of this.#due.keys()) this.before(clientId);
  }

  /** Publishes the will of a client that has come back: what it publishes from now on is the newer. */
  before(clientId: string): void {
    const due = this.#due.get(clientId);
    if (due === undefined) return;
    this.#due.delete(clientId);
    this.#publish(due);
  }

  /** A will below the root is a message like any other: it goes to the intake first. */
  #publish({ clientId, will, burden }: DueWill): void {
    const host = this.#host;
    const { payload, qos } = will;
    const size = worth(payload.length);
    host.turn().spend(WILL_BYTES + payload.length);
    const topic = host.topicOf(will.topic);
    if (topic.kind === 'foreign') {
      burden.noWill();
      burden.others((1 + host.sessions.publish(will.topic, payload, qos, will.retain, false)) * size);
      return;
    }
    const settled = (delivery: Delivery, accepted: boolean): void => {
      if (accepted) host.forward(delivery, qos);
      if (accepted) burden.noWill();
      else burden.refusedWill(size);
    };
    host.sink.take({ topic, loan: null, payload, clientId, origin: { settled }, packetId: 0 });
  }
}
