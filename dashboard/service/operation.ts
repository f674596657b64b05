import type { Plant } from '../../collector/contract/index.ts';
import {
  type Collector,
  type Historian,
  type Log,
  mappingsOfOwnTopics,
  type OperationConfig,
  startHistorian,
  startKeeping,
} from '../../collector/index.ts';
import type { Counter, HistorianStatus, StatusSource } from '../server/index.ts';
import { externalTrouble } from './external-counters.ts';
import { serviceStatus, whyNotReady } from './service-status.ts';

export interface OperationParts {
  readonly plant: Plant;
  readonly dir: string;
  readonly collector: Collector;
  readonly config: OperationConfig;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  readonly log: Log;
}

/** What keeps the service itself in order, and what it has to say of it. */
export interface Operation extends StatusSource {
  /** One sentence why readings are not taken; null while they are. */
  notReady(): string | null;
  counters(): Counter[];
  stop(): Promise<void>;
}

/** Starts to take away old data and to watch the disk. */
export function startOperation({ plant, dir, collector, config, now, log }: OperationParts): Operation {
  const { retention } = config;
  for (const sentence of mappingsOfOwnTopics(config)) log.warn({}, sentence);
  const keeping = startKeeping({ store: collector.store, writer: collector, config: retention, now, log });
  const historian = startHistorian({ store: collector.store, dir, site: plant.site.id, config: config.historian, log });
  const startedAt = now();
  return {
    status: () =>
      serviceStatus({
        plant,
        collector,
        retention,
        disk: keeping.disk,
        historian: () => historianStatus(historian),
        startedAt,
      }),
    notReady: () => whyNotReady(collector, keeping.disk) ?? externalTrouble(collector),
    counters: () => {
      const { usedBytes, freeBytes, daysLeft } = keeping.disk();
      return [
        gauge('store_used_bytes', 'Room that the store needs', usedBytes),
        gauge('disk_free_bytes', 'Room that the store can still get', freeBytes),
        ...(daysLeft === null
          ? []
          : [gauge('disk_days_left', 'Days until the disk is full, as it grows now', daysLeft)]),
        ...historianCounters(historian),
        gauge('clocks_off', 'Stations whose clocks are corrected', collector.store.clocks.current().size),
      ];
    },
    stop: async () => {
      keeping.stop();
      await historian?.stop();
    },
  };
}

function historianStatus(historian: Historian | null): HistorianStatus | null {
  if (historian === null) return null;
  const { delivered, refused, waiting, caughtUpAt, fault } = historian.state();
  return { target: historian.target, delivered, refused, waiting, caughtUpAt, fault };
}

function historianCounters(historian: Historian | null): Counter[] {
  if (historian === null) return [];
  const { delivered, refused, waiting, fault } = historian.state();
  return [
    { ...gauge('historian_delivered_total', 'Points that the long-term store has taken', delivered), kind: 'counter' },
    { ...gauge('historian_refused_total', 'Points that it will never take', refused), kind: 'counter' },
    gauge('historian_waiting', 'Pieces that wait for it', waiting),
    gauge('historian_up', '1 while it takes what is sent', fault === null ? 1 : 0),
  ];
}

function gauge(name: string, help: string, value: number): Counter {
  return { name, help, kind: 'gauge', labels: {}, value };
}
