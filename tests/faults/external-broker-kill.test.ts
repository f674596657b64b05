import { setTimeout as pause } from 'node:timers/promises';
import Database from 'better-sqlite3';
import mqtt from 'mqtt';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { afterEach, describe, expect, test } from 'vitest';
import { CollectorUnderTest, NOW, pressures } from '../collector/intake/collector-under-test.ts';
import { CAREFUL, haveMosquitto, Mosquitto } from '../mosquitto.ts';

const KILLS = Number(process.env.TEST_KILLS ?? 10);
const SEED = 20_260_303;
/** Messages in flight of each node, and how long one waits for its acknowledgement before it is sent again, ms. */
const WINDOW = 25;
const PATIENCE_MS = 1000;
/** Acknowledged messages that a node sends again when its broker has died: Mosquitto acknowledges from memory, and the last
 * one or two die with it, before anybody could have them (seen here in about every second kill). */
const AGAIN = 50;

const bar = (n: number): number => (1000 + (n % 1000)) / 1000;

/** A sensor node: what is not acknowledged it sends again, and the latest of what is when the broker has died. */
class Node {
  stopping = false;
  readonly #done: number[] = [];
  #again: number[] = [];
  readonly #client: mqtt.MqttClient;
  readonly #topic: string;
  #next = 0;

  constructor(url: string, station: string) {
    this.#topic = `airlines/hall-2/${station}`;
    const options = { clientId: `node-${station}`, clean: false, reconnectPeriod: 20 };
    this.#client = mqtt.connect(url, options);
    this.#client.on('error', () => undefined);
  }

  brokerDied(): void {
    this.#again.push(...this.#done.slice(-AGAIN));
  }

  get sent(): number {
    return this.#next;
  }

  async run(): Promise<void> {
    await Promise.all(Array.from({ length: WINDOW }, () => this.#lane()));
    await this.#client.endAsync(true);
  }

  async #lane(): Promise<void> {
    while (!this.stopping || this.#again.length > 0) {
      const n = this.#again.pop() ?? this.#next++;
      const pack = pressures([NOW - 10_000_000 + n * 10, bar(n)]);
      // The client library may forget a message when the connection breaks at the wrong moment: a node looks after that itself.
      const publish = (): Promise<boolean> =>
        Promise.race([
          this.#client.publishAsync(this.#topic, pack, { qos: 1 }).then(
            () => true,
            () => false,
          ),
          pause(PATIENCE_MS, false),
        ]);
      while (!(await publish()));
      this.#done.push(n);
    }
  }
}

describe.runIf(haveMosquitto())('an external broker that dies', () => {
  let broker: Mosquitto;
  let it: CollectorUnderTest;
  afterEach(async () => {
    await it.end();
    await broker.end();
  });

  test(`loses and doubles nothing when it is killed ${KILLS} times under load`, { timeout: 120_000 }, async () => {
    const random = xoroshiro128plus(SEED);
    broker = await Mosquitto.start(CAREFUL);
    it = new CollectorUnderTest();
    it.config = { broker: { port: 0 }, externalBroker: { url: broker.url } };
    const collector = await it.start();
    while (collector.counts().external!.fault !== null) await pause(5);
    const nodes = ['gun-01', 'gun-02'].map((station) => new Node(broker.url, station));
    const running = nodes.map((node) => node.run());
    for (let kill = 0; kill < KILLS; kill++) {
      const before = collector.counts().intake.messages;
      while (collector.counts().intake.messages < before + 200) await pause(5);
      await pause(uniformInt(random, 0, 50));
      await broker.kill();
      for (const node of nodes) node.brokerDied();
      await broker.run();
    }
    for (const node of nodes) node.stopping = true;
    await Promise.all(running);
    const stored = (station: string): number => collector.store.readings.counts(station).readings;
    const all = nodes.reduce((sum, node) => sum + node.sent, 0);
    // Until all has come, or until nothing more does.
    for (let received = -1; received !== collector.counts().external!.received; ) {
      received = collector.counts().external!.received;
      while (collector.counts().external!.waiting > 0) await pause(5);
      if (stored('gun-01') + stored('gun-02') < all) await pause(500);
    }
    for (const [index, station] of ['gun-01', 'gun-02'].entries()) {
      const wanted = Array.from({ length: nodes[index]!.sent }, (_, n) => [NOW - 10_000_000 + n * 10, bar(n)]);
      expect(it.readings(station, 'conveying/pressure')).toEqual(wanted);
      expect(collector.store.readings.counts(station).conflicts).toEqual({});
    }
    const counts = collector.counts().external!;
    expect(counts.connections).toBeGreaterThan(KILLS / 2);
    expect(collector.counts().intake.messages).toBe(counts.received);
    const database = new Database(`${it.dir}/driftline.db`, { readonly: true });
    expect(database.pragma('integrity_check')).toEqual([{ integrity_check: 'ok' }]);
    database.close();
  });
});
