import { performance } from 'node:perf_hooks';
import { pino } from 'pino';
import { gunConditions, type LiveUpdate, startLive } from '../../analyzer/index.ts';
import type { Plant, Settings } from '../../collector/contract/index.ts';
import { type Log, type OperationConfig, startCollector } from '../../collector/index.ts';
import { startDashboard } from '../server/index.ts';
import { adoptSettings } from './adopt-settings.ts';
import { ConditionPublisher } from './condition-publisher.ts';
import { lastingLive } from './lasting-live.ts';
import { LogLines, writeStandardOutput } from './log-lines.ts';
import { recordPlant } from './plant-record.ts';
import { wireSources } from './wire-sources.ts';

/** How often conditions go out although nothing was found anew: their age moves on, ms. */
const CONDITION_REFRESH_MS = 60_000;

export interface ServiceOptions {
  readonly plant: Plant;
  readonly dir: string;
  /** Of a settings file; null keeps the store's current version. */
  readonly settings: Settings | null;
  readonly config: OperationConfig;
  readonly log?: Log;
}

/** A running driftline: broker, store, analysis and dashboard in one process. */
export interface Service {
  readonly mqttUrl: string;
  readonly httpUrl: string;
  /** Rejects when a part dies by itself; resolves after `stop`. */
  readonly ended: Promise<void>;
  /** Ends within 10 s with everything acknowledged on disk. May be called twice. */
  stop(): Promise<void>;
}

/**
 * Starts the whole service.
 *
 * @throws {AppError} STORE_UNUSABLE, DISK_FULL, PORT_UNUSABLE; nothing runs on then
 */
export async function startService(options: ServiceOptions): Promise<Service> {
  const { plant, dir, config } = options;
  const log = options.log ?? pino({ base: null }, new LogLines(writeStandardOutput, tellOnStandardError));
  const now = (): number => Date.now();
  const undo: (() => Promise<void>)[] = [];
  // A part that has failed must not keep the others from ending well.
  const stopAll = async (): Promise<void> => {
    const faults: unknown[] = [];
    for (const step of undo.splice(0).reverse()) await step().catch((fault: unknown) => faults.push(fault));
    if (faults.length > 0) throw faults[0];
  };
  try {
    const collector = await startCollector({
      plant,
      dir,
      config,
      now,
      clock: () => performance.now(),
      log,
    });
    undo.push(() => collector.stop());
    recordPlant(collector.store, plant);
    const { version, added } = adoptSettings(collector.store, options.settings, now());
    if (added) log.info({ version }, 'settings adopted');

    const live = await lastingLive(() => startLive({ dir, plant }), log);
    undo.push(() => live.stop());
    const listeners = new Set<() => void>();
    const changed = (): void => {
      for (const listener of listeners) listener();
    };
    let update: LiveUpdate = { asOf: null, settled: false, views: [], jobs: [], findings: [] };
    const conditions = new ConditionPublisher(
      () => gunConditions(plant, update, (gun) => collector.latest(gun)?.newestTime ?? null, now()),
      (gun, condition) => collector.publishCondition(gun, condition),
      log,
    );
    live.onUpdate((next) => {
      update = next;
      void conditions.publish();
      changed();
    });
    collector.on('committed', (stations) => {
      live.notify(stations);
      changed();
    });
    collector.on('clock', (reports) => live.clocksReported(reports));
    collector.on('online', changed);

    const timer = setInterval(() => void conditions.publish(), CONDITION_REFRESH_MS);
    undo.push(async () => clearInterval(timer));

    const sources = wireSources({
      plant,
      collector,
      update: () => update,
      now,
      logChanged: () => live.logChanged(),
      onChange: (listener) => {
        listeners.add(listener);
        return () => listeners.delete(listener);
      },
    });
    const dashboard = await startDashboard({
      sources,
      port: config.http.port,
      host: config.bind,
      now,
      onFault: (error) => log.error({ error: String(error) }, 'a request failed'),
    });
    undo.push(() => dashboard.stop());

    let stopped: Promise<void> | null = null;
    return {
      mqttUrl: `mqtt://${urlHost(collector.host)}:${collector.port}`,
      httpUrl: dashboard.url,
      ended: Promise.race([collector.ended, live.ended]),
      stop: () => {
        stopped ??= stopAll();
        return stopped;
      },
    };
  } catch (error) {
    await stopAll();
    throw error;
  }
}

function urlHost(host: string): string {
  return host.includes(':') ? `[${host}]` : host;
}

function tellOnStandardError(sentence: string): void {
  process.stderr.write(`${sentence}\n`);
}
