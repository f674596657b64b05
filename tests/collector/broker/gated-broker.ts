import { type Broker, startBroker } from '../../../collector/broker/broker.ts';
import type { Delivery, DeliverySink } from '../../../collector/broker/delivery.ts';
import type { BrokerLimits } from '../../../collector/broker/limits.ts';
import { OperationConfig } from '../../../collector/config.ts';
import { silentLog } from '../../../collector/log.ts';

/** A sink that settles nothing until told to: it stands for a store whose disk is slow. */
export class GatedSink implements DeliverySink {
  saturated = false;
  /** Settles at once what comes, when true. */
  open = false;
  accept = true;
  readonly taken: Delivery[] = [];
  #unsettled: Delivery[] = [];
  #arrival: (() => void) | null = null;

  take(delivery: Delivery): void {
    this.taken.push(delivery);
    this.#unsettled.push(delivery);
    if (this.open) setImmediate(() => this.settle());
    this.#arrival?.();
  }

  settle(): void {
    const all = this.#unsettled;
    this.#unsettled = [];
    for (const delivery of all) delivery.origin.settled(delivery, this.accept);
  }

  /** Resolves when `count` deliveries have been taken in all. */
  async reached(count: number): Promise<void> {
    while (this.taken.length < count) await new Promise<void>((resolve) => (this.#arrival = resolve));
  }

  texts(): string[] {
    return this.taken.map(({ topic, payload }) => `${topic.name} ${payload.toString()}`);
  }
}

export const TEST_LIMITS: BrokerLimits = { ...OperationConfig.parse({}).broker, maxPacketBytes: 2048 };

export async function gatedBroker(
  sink: GatedSink,
  limits: Partial<BrokerLimits> = {},
  retained: { topic: string; payload: Uint8Array }[] = [],
): Promise<Broker> {
  return startBroker({
    port: 0,
    host: '127.0.0.1',
    root: 'airlines',
    limits: { ...TEST_LIMITS, ...limits },
    sink,
    log: silentLog,
    retained,
  });
}
