import { performance } from 'node:perf_hooks';
import { pino } from 'pino';
import type { Plant, Settings } from '../../collector/contract/index.ts';
import {
  type Collector,
  type Log,
  type OperationConfig,
  startCollector,
  useCertificate,
} from '../../collector/index.ts';
import { startDashboard } from '../server/index.ts';
import { adoptAtStart } from './adopt-settings.ts';
import { startHallNow } from './hall-now.ts';
import { LogLines, writeStandardOutput } from './log-lines.ts';
import { startOperation } from './operation.ts';
import { recordPlant } from './plant-record.ts';
import type { SimulateHealthy } from './promise-desk.ts';
import { firstLink, hasAdministrator, ownHosts, serviceAccess } from './service-access.ts';
import { reachableUrl, rememberUrl, urlHost } from './service-url.ts';
import { startDesks } from './start-desks.ts';
import { StopSteps } from './stop-steps.ts';
import { wireSources } from './wire-sources.ts';

export interface ServiceOptions {
  readonly plant: Plant;
  readonly dir: string;
  /** Of a settings file; null keeps the store's current version. */
  readonly settings: Settings | null;
  readonly config: OperationConfig;
  readonly log?: Log;
  /** See `CollectorOptions`. */
  readonly warm?: boolean;
  /** Simulates healthy guns, for the rate of false findings; none: that rate is not simulated. */
  readonly simulateHealthy?: SimulateHealthy;
}

/** A running driftline: broker, store, analysis and dashboard in one process. */
export interface Service {
  readonly mqttUrl: string;
  readonly httpUrl: string;
  /** Null where MQTT is not taken over TLS. */
  readonly mqttsUrl: string | null;
  /** What an operator has to be told now, once: the administrator's one-time link. Null for nothing. */
  readonly notice: string | null;
  /** Reads certificate and key anew, for connections from now on. @throws {AppError} CONFIG_INVALID: those of before stay */
  renewTls(): Promise<void>;
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
  const certificate = await useCertificate(config.tls, now, log);
  const tls = certificate.first;
  const stops = new StopSteps();
  stops.add(async () => certificate.stop());
  try {
    const collector = await startCollector({
      plant,
      dir,
      config,
      tls: tls?.context,
      warm: options.warm ?? false,
      now,
      clock: () => performance.now(),
      log,
    });
    stops.add(() => collector.stop());
    recordPlant(collector.store, plant);
    adoptAtStart({ store: collector.store, given: options.settings, plant, now: now(), log });

    const operation = startOperation({ plant, dir, collector, config, now, log });
    stops.add(() => operation.stop());
    const hall = await startHallNow({ plant, dir, collector, now, log }, stops);
    const simulateHealthy = options.simulateHealthy ?? null;
    const desks = startDesks({ plant, dir, collector, hall, config, simulateHealthy, now, log }, stops);
    const access = serviceAccess(collector, plant, config);
    const dashboard = await startDashboard({
      sources: wireSources({ plant, collector, hall, operation, access, now, ...desks }),
      port: config.http.port,
      host: config.bind,
      now,
      http: config.http,
      tls: tls?.context,
      allowedHosts: ownHosts(config.http.hosts, tls),
      onFault: (error) => log.error({ error: String(error) }, 'a request failed'),
      onRefused: (fields, message) => log.warn(fields, message),
    });
    stops.add(() => dashboard.stop());
    const reachedAt = reachableUrl(dashboard.url, config.bind);
    rememberUrl(collector.store, reachedAt);
    collector.on('closed', () => {
      const notice = hasAdministrator(collector.store) ? null : firstLink(access, reachedAt, now());
      if (notice !== null) tellOnStandardError(notice);
    });

    return {
      ...mqttUrls(collector, config.bind),
      httpUrl: dashboard.url,
      notice: collector.accountsRequired() ? firstLink(access, reachedAt, now()) : null,
      renewTls: async () => {
        const renewed = await certificate.renew();
        if (renewed === null) return;
        collector.renew(renewed.context);
        dashboard.renew(renewed.context);
      },
      ended: Promise.race([collector.ended, hall.ended]),
      stop: () => stops.run(),
    };
  } catch (error) {
    await stops.run().catch((fault: unknown) => log.error({ error: String(fault) }, 'a part did not end well'));
    throw error;
  }
}

function mqttUrls({ host, port, tlsPort }: Collector, bind: string): Pick<Service, 'mqttUrl' | 'mqttsUrl'> {
  const mqttsUrl = tlsPort === null ? null : `mqtts://${urlHost(bind)}:${tlsPort}`;
  const plain = port !== tlsPort;
  return { mqttUrl: plain || mqttsUrl === null ? `mqtt://${urlHost(host)}:${port}` : mqttsUrl, mqttsUrl };
}

function tellOnStandardError(sentence: string): void {
  process.stderr.write(`${sentence}\n`);
}
