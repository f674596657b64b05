import { mkdtempSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { OperationConfig } from '../../../collector/config.ts';
import { Plant } from '../../../collector/contract/index.ts';
import type { Collector } from '../../../collector/intake/collector.ts';
import { startCollector } from '../../../collector/intake/start-collector.ts';
import { type Log, silentLog } from '../../../collector/log.ts';

/** Tuesday, 2026-03-03T10:00:00Z. */
export const NOW = 1_772_532_000_000;

export const PLANT = Plant.parse({
  site: { id: 'hall-2', timezone: 'Europe/Vienna' },
  guns: [{ id: 'gun-01', channels: { 'conveying/flow': { reference: 'iso8778' } } }, { id: 'gun-02' }],
  air: [{ id: 'dryer-out' }],
});

/** A collector on a temporary folder with a clock that the test sets, and clients of it. */
export class CollectorUnderTest {
  readonly dir = mkdtempSync(join(tmpdir(), 'driftline-intake-'));
  now = NOW;
  /** Of the operation, read at each start. */
  config: object = { broker: { port: 0 } };
  log: Log = silentLog;
  collector!: Collector;
  readonly #clients: mqtt.MqttClient[] = [];

  async start(): Promise<Collector> {
    this.collector = await startCollector({
      plant: PLANT,
      dir: this.dir,
      config: OperationConfig.parse(this.config),
      now: () => this.now,
      clock: () => performance.now(),
      log: this.log,
    });
    return this.collector;
  }

  async restart(): Promise<Collector> {
    await this.collector.stop();
    return this.start();
  }

  async client(options: mqtt.IClientOptions = {}): Promise<mqtt.MqttClient> {
    const url = `mqtt://127.0.0.1:${this.collector.port}`;
    const client = await mqtt.connectAsync(url, { protocolVersion: 4, reconnectPeriod: 0, ...options });
    this.#clients.push(client);
    return client;
  }

  async end(): Promise<void> {
    for (const client of this.#clients) await client.endAsync(true);
    await this.collector.stop();
    await rm(this.dir, { recursive: true });
  }

  /** All readings of a channel as [time, value]. */
  readings(station: string, channel: 'conveying/pressure' | 'conveying/flow' | 'powder/output'): [number, number][] {
    const { times, columns } = this.collector.store.readings.frames(station, 0, Number.MAX_SAFE_INTEGER);
    return [...times].map((time, row): [number, number] => [time, columns[channel]?.[row] ?? Number.NaN]);
  }
}

/** A pack of conveying pressures, bar, at these times, epoch ms. */
export const pressures = (...rows: [timeMs: number, bar: number][]): string =>
  JSON.stringify(rows.map(([time, bar]) => ({ n: 'conveying/pressure', u: 'bar', t: time / 1000, v: bar })));
