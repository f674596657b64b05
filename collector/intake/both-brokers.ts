import { type Broker, type BrokerOptions, startBroker } from '../broker/broker.ts';
import { type HostState, hostState } from '../decode/sparkplug/host-state.ts';
import type { ExternalClient } from '../external/external-client.ts';
import { type ExternalParts, startExternal } from '../external/start-external.ts';
import type { RetainedMessage } from '../store/store.ts';

/** The embedded broker, and our client of the plant's own where there is one: what is published goes to both. */
export class BothBrokers {
  readonly #presence: HostState | null;
  readonly #now: () => number;
  #embedded: Broker | null = null;
  #external: ExternalClient | null = null;

  /**
   * @param sparkplugHost id under which driftline says that it is there; null for silence
   * @param now epoch ms
   */
  constructor(sparkplugHost: string | null, now: () => number) {
    this.#presence = sparkplugHost === null ? null : hostState(sparkplugHost);
    this.#now = now;
  }

  /**
   * @param shown retained conditions, for both
   * @throws {AppError} PORT_UNUSABLE, CONFIG_INVALID; nothing runs on then
   */
  async start(
    embedded: BrokerOptions,
    external: Omit<ExternalParts, 'presence'>,
    shown: readonly Pick<RetainedMessage, 'topic' | 'payload'>[],
  ): Promise<Broker> {
    const broker = await startBroker({ ...embedded, retained: [...shown, ...(embedded.retained ?? [])] });
    this.#embedded = broker;
    const presence = this.#presence;
    if (presence !== null) broker.publishRetained(presence.topic, Buffer.from(presence.online(this.#now())));
    try {
      this.#external = await startExternal({ ...external, presence });
    } catch (error) {
      await broker.stop();
      throw error;
    }
    for (const { topic, payload } of shown) this.#external?.publishRetained(topic, payload);
    return broker;
  }

  get external(): ExternalClient | null {
    return this.#external;
  }

  publishOnce(topic: string, payload: Uint8Array): void {
    this.#embedded?.publishOnce(topic, payload);
    this.#external?.publishOnce(topic, payload);
  }

  publishRetained(topic: string, payload: Uint8Array): void {
    this.#embedded?.publishRetained(topic, payload);
    this.#external?.publishRetained(topic, payload);
  }

  /** The intake has room again. */
  resume(): void {
    this.#embedded?.resume();
    this.#external?.resume();
  }

  /** Reads nothing more; what was read is still acknowledged. */
  quiesce(): void {
    this.#embedded?.quiesce();
    this.#external?.quiesce();
  }

  async stop(): Promise<void> {
    const presence = this.#presence;
    if (presence !== null) this.#embedded?.publishRetained(presence.topic, Buffer.from(presence.offline(this.#now())));
    this.#external?.stop();
    await this.#embedded?.stop();
  }
}
