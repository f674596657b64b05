import { gunConditions, knownSpan } from '../../analyzer/index.ts';
import type { Plant } from '../../collector/contract/index.ts';
import type { Collector, StationNow, Store, StoredLogEntry } from '../../collector/index.ts';
import { openExports } from '../export/open-exports.ts';
import type { AccessSource, DashboardSources, LatestReadings, RecordedEntry } from '../server/index.ts';
import { shownJobs } from '../upkeep/shown-jobs.ts';
import type { HallNow } from './hall-now.ts';
import { ONCE_WITHIN_MS } from './log-add.ts';
import type { Operation } from './operation.ts';
import { serviceCounters } from './service-counters.ts';
import type { Desks } from './start-desks.ts';
import { stationCounters } from './station-counters.ts';

/** The running parts that the dashboard shows. */
export interface Running extends Desks {
  readonly plant: Plant;
  readonly collector: Collector;
  readonly hall: HallNow;
  readonly operation: Operation;
  readonly access: AccessSource;
  /** Epoch ms. */
  readonly now: () => number;
}

/** What the dashboard shows, out of collector, store and analysis. */
export function wireSources({
  plant,
  collector,
  hall,
  now,
  operation,
  access,
  tuning,
  promise,
  baselines,
  histories,
  imports,
  shop,
  telling,
  upkeep,
}: Running): DashboardSources {
  const { store } = collector;
  const stations = [...plant.guns, ...plant.air].map(({ id }) => id);
  const newest = (gun: string): number | null => collector.latest(gun)?.newestTime ?? null;
  return {
    plant,
    conditions: () => gunConditions(plant, hall.update(), newest, now()),
    views: () => hall.update().views,
    analysedTo: () => hall.update().asOf,
    jobs: () => shownJobs(upkeep.loop()),
    findings: ({ open, limit, beforeMs }) =>
      store.findings
        .list({ ...(open ? { open } : {}), limit, ...(beforeMs === null ? {} : { before: beforeMs }) })
        .map(({ finding }) => finding),
    latest: (station) => latestReadings(collector.latest(station)),
    online: (station) => collector.latest(station)?.online ?? null,
    log: ({ gun, limit }) => newestEntries(store, gun, limit),
    addLog: (entry, key, { who, again } = { who: '', again: false }) => {
      const onceWithinMs = again ? undefined : ONCE_WITHIN_MS;
      const added = store.log.add(entry, { recordedAt: now(), source: 'api', key, who, onceWithinMs });
      hall.logChanged();
      return recorded(added.entry);
    },
    quarantine: ({ limit }) =>
      store.quarantine.list({ limit }).map(({ id, receivedAt, topic, reason, detail, payload, payloadBytes }) => ({
        id: String(id),
        time: receivedAt,
        topic,
        station: stations.find((one) => topic.split('/').includes(one)) ?? null,
        reason,
        detail,
        payload: Buffer.from(payload).toString('utf8'),
        payloadBytes,
      })),
    access,
    tuning,
    promise,
    baselines,
    histories,
    imports,
    exports: openExports({ store, plant, upkeep, shop }),
    knownSpan: (gun) => knownSpan(store, gun),
    shop,
    telling,
    upkeep,
    status: operation,
    counters: () => [
      ...serviceCounters(collector),
      ...stationCounters(collector, stations, now()),
      ...operation.counters(),
    ],
    notReady: operation.notReady,
    onChange: hall.onChange,
  };
}

function latestReadings(station: StationNow | null): LatestReadings | null {
  if (station?.newestTime == null || station.newestReceivedAt === null) return null;
  const values: Record<string, { time: number; value: number | boolean | string }> = {};
  for (const { channel, time, value } of station.readings) values[channel] = { time, value };
  return {
    station: station.station,
    time: station.newestTime,
    receivedAt: station.newestReceivedAt,
    intervalMs: station.reportingIntervalMs,
    values,
  };
}

function newestEntries(store: Store, gun: string | null, limit: number): RecordedEntry[] {
  const entries = store.log.list(gun === null ? {} : { gun });
  return entries
    .sort((left, right) => right.time - left.time || right.recordedAt - left.recordedAt)
    .slice(0, limit)
    .map(recorded);
}

function recorded({ id, source: _, ...entry }: StoredLogEntry): RecordedEntry {
  return { ...entry, id: String(id) };
}
