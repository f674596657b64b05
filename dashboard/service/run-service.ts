import { performance } from 'node:perf_hooks';
import { pino } from 'pino';
import { gunConditions, type LiveUpdate, startHistories, startLive } from '../../analyzer/index.ts';
import type { Plant, Settings } from '../../collector/contract/index.ts';
import { ImportDesk, type Log, type OperationConfig, startCollector, useCertificate } from '../../collector/index.ts';
import { startDashboard, timersAround } from '../server/index.ts';
import { shopBasis } from '../shop/basis.ts';
import { openShop } from '../shop/open-shop.ts';
import { Teller } from '../telling/teller.ts';
import { tellingState } from '../telling/telling-state.ts';
import { openUpkeep } from '../upkeep/open-upkeep.ts';
import { shownJobs } from '../upkeep/shown-jobs.ts';
import { adoptAtStart } from './adopt-settings.ts';
import { baselineDesk } from './baseline-desk.ts';
import { ConditionPublisher } from './condition-publisher.ts';
import { everyFinding } from './every-finding.ts';
import { ViewsKeeper } from './kept-views.ts';
import { lastingLive } from './lasting-live.ts';
import { LogLines, writeStandardOutput } from './log-lines.ts';
import { startOperation } from './operation.ts';
import { recordPlant } from './plant-record.ts';
import { PromiseDesk, type SimulateHealthy } from './promise-desk.ts';
import { observedInStore } from './promise-in-folder.ts';
import { firstLink, hasAdministrator, ownHosts, serviceAccess } from './service-access.ts';
import { reachableUrl, rememberUrl, urlHost } from './service-url.ts';
import { tuning } from './tuning.ts';
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
  const undo = [async () => certificate.stop()];
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
      tls: tls?.context,
      warm: options.warm ?? false,
      now,
      clock: () => performance.now(),
      log,
    });
    undo.push(() => collector.stop());
    recordPlant(collector.store, plant);
    adoptAtStart({ store: collector.store, given: options.settings, plant, now: now(), log });

    const operation = startOperation({ plant, dir, collector, config, now, log });
    undo.push(() => operation.stop());
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
    let teller: Teller | null = null;
    const views = new ViewsKeeper(collector.store, log);
    undo.push(() => views.stop());
    live.onUpdate((next) => {
      update = next;
      views.update(next.views);
      teller?.update(next);
      void conditions.publish();
      changed();
      // Its first answer would wait for a thread, which stays in any case once somebody has asked.
      if (next.settled) histories.ready();
    });
    collector.on('committed', (stations) => {
      live.notify(stations);
      changed();
    });
    collector.on('clock', (reports) => live.clocksReported(reports));
    collector.on('online', changed);

    conditions.start();
    // Before the collector, which else would be given conditions after its end.
    undo.push(() => conditions.stop());

    const histories = startHistories({ dir, plant });
    undo.push(() => histories.stop());
    const imports = new ImportDesk({
      ...{ dir, store: collector.store, plant, now },
      maxFileBytes: config.http.maxImportBytes,
      maxPieceBytes: config.http.maxImportPieceBytes,
    });
    undo.push(() => imports.stop());
    imports.start();
    const desk = tuning({
      ...{ store: collector.store, dir, plant, clock: timersAround(now), changed: () => live.logChanged() },
      maxBundleBytes: config.http.maxImportBytes,
      maxPieceBytes: config.http.maxImportPieceBytes,
    });
    undo.push(() => desk.stop());
    const promise = new PromiseDesk({
      observed: () => observedInStore(collector.store, plant.guns, update.views),
      simulate: options.simulateHealthy ?? null,
    });
    undo.push(() => promise.stop());
    const baselines = baselineDesk({
      ...{ store: collector.store, plant, now, source: 'api', views: () => update.views },
      changed: () => live.logChanged(),
    });
    const basis = {
      ...shopBasis(collector.store, plant, now),
      views: () => update.views,
      logChanged: () => live.logChanged(),
    };
    const findings = everyFinding(collector.store);
    const upkeep = openUpkeep(basis, { findings: () => findings(update), changed });
    const shop = openShop(basis, {
      jobs: () => shownJobs(upkeep.loop()),
      calendar: () => upkeep.calendar().value,
    });
    const telling = new Teller({
      ...{ plant, store: collector.store, config: config.telling, shop, now, log },
      jobs: () => upkeep.loop().jobs,
      random: () => Math.random(),
    });
    telling.start();
    undo.push(() => telling.stop());
    teller = telling;
    const access = serviceAccess(collector, plant, config);
    const sources = wireSources({
      operation,
      access,
      shop,
      upkeep,
      telling: {
        state: (limit) => tellingState(collector.store, config.telling, limit),
        test: (who) => telling.test(who),
      },
      tuning: desk,
      promise,
      baselines,
      histories,
      imports,
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
      http: config.http,
      tls: tls?.context,
      allowedHosts: ownHosts(config.http.hosts, tls),
      onFault: (error) => log.error({ error: String(error) }, 'a request failed'),
      onRefused: (fields, message) => log.warn(fields, message),
    });
    undo.push(() => dashboard.stop());
    const reachedAt = reachableUrl(dashboard.url, config.bind);
    rememberUrl(collector.store, reachedAt);
    collector.on('closed', () => {
      const notice = hasAdministrator(collector.store) ? null : firstLink(access, reachedAt, now());
      if (notice !== null) tellOnStandardError(notice);
    });

    let stopped: Promise<void> | null = null;
    const mqttsUrl = collector.tlsPort === null ? null : `mqtts://${urlHost(config.bind)}:${collector.tlsPort}`;
    const plain = collector.port !== collector.tlsPort;
    return {
      mqttUrl: plain || mqttsUrl === null ? `mqtt://${urlHost(collector.host)}:${collector.port}` : mqttsUrl,
      mqttsUrl,
      httpUrl: dashboard.url,
      notice: collector.accountsRequired() ? firstLink(access, reachedAt, now()) : null,
      renewTls: async () => {
        const renewed = await certificate.renew();
        if (renewed === null) return;
        collector.renew(renewed.context);
        dashboard.renew(renewed.context);
      },
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

function tellOnStandardError(sentence: string): void {
  process.stderr.write(`${sentence}\n`);
}
