import { Buffer } from 'node:buffer';
import { setTimeout as sleep } from 'node:timers/promises';
import { connectAsync, type MqttClient } from 'mqtt';
import { AppError } from '../../collector/contract/errors.ts';

/** How long a broker has to take the farewell, ms. Source: own choice, because a stop must not hang. */
const FAREWELL_MS = 1000;
/** Readings that may wait for their acknowledgement, by connection. Source: own choice: enough to fill one commit. */
const IN_FLIGHT = 8;

/** The MQTT side of one sensor node: its own connection, its will, its topic. */
export class NodeClient {
  readonly #client: MqttClient;
  readonly #topic: string;
  readonly #signal: AbortSignal;
  #waiting = 0;
  #fault: Error | null = null;
  #wake: (() => void) | null = null;

  private constructor(client: MqttClient, topic: string, signal: AbortSignal, onTrouble: (message: string) => void) {
    this.#signal = signal;
    signal.addEventListener('abort', () => this.#wake?.());
    this.#client = client;
    this.#topic = topic;
    // A lost connection is mended by the client, which then sends what was not acknowledged.
    client.on('error', (error) => onTrouble(error.message));
    client.on('connect', () => {
      client.publish(`${topic}/online`, 'true', { qos: 1, retain: true }, (error) => {
        if (error) onTrouble(error.message);
      });
    });
  }

  /**
   * Connects a node and says that it is online; its will says the contrary.
   *
   * @throws {AppError} PORT_UNUSABLE when the broker cannot be reached or refuses
   */
  static async connect(
    url: string,
    topic: string,
    clientId: string,
    signal: AbortSignal,
    onTrouble: (message: string) => void,
  ): Promise<NodeClient> {
    let client: MqttClient;
    try {
      client = await connectAsync(
        url,
        {
          clientId,
          protocolVersion: 4,
          clean: true,
          will: { topic: `${topic}/online`, payload: Buffer.from('false'), qos: 1, retain: true },
          reconnectPeriod: 1000,
        },
        false,
      );
    } catch (cause) {
      throw new AppError('PORT_UNUSABLE', `broker ${url} cannot be used: ${(cause as Error).message}`, { cause });
    }
    await client.publishAsync(`${topic}/online`, 'true', { qos: 1, retain: true });
    return new NodeClient(client, topic, signal, onTrouble);
  }

  /** Sends a pack at QoS 1; waits only while too many wait for their acknowledgement. */
  async send(pack: Buffer): Promise<void> {
    while (this.#waiting >= IN_FLIGHT && !this.#signal.aborted) await this.#change();
    this.#waiting++;
    this.#client.publish(this.#topic, pack, { qos: 1 }, (error) => {
      this.#waiting--;
      if (error) this.#fault = error;
      this.#wake?.();
    });
  }

  /** Waits until everything sent is acknowledged. */
  async settle(): Promise<void> {
    while (this.#waiting > 0 && !this.#signal.aborted) await this.#change();
  }

  async #change(): Promise<void> {
    await new Promise<void>((resolve) => {
      this.#wake = resolve;
    });
    this.#wake = null;
    const fault = this.#fault as Error | null;
    if (fault) throw new AppError('PORT_UNUSABLE', `publishing to ${this.#topic}: ${fault.message}`, { cause: fault });
  }

  /** Says offline and leaves; never fails. May be called twice. */
  async stop(): Promise<void> {
    if (this.#client.disconnecting || this.#client.disconnected) return;
    let answered = false;
    if (this.#client.connected) {
      const farewell = this.#client.publishAsync(`${this.#topic}/online`, 'false', { qos: 1, retain: true });
      // A broker that goes at the same time answers no more, or hangs up; then the will speaks.
      const said = farewell.then(
        () => true,
        () => false,
      );
      answered = await Promise.race([said, sleep(FAREWELL_MS, false)]);
    }
    await this.#client.endAsync(!answered);
  }
}
