import type { Plant } from '../../collector/contract/index.ts';
import { type Collector, type DiskForecast, damagedIn, type OperationConfig, REASONS } from '../../collector/index.ts';
import type { HistorianStatus, ServiceStatus } from '../server/index.ts';

/** Free room below which a store that takes nothing is taken to be full, bytes. Source: own choice: two commits. */
const FULL_BYTES = 4 * 1024 * 1024;

export interface StatusParts {
  readonly plant: Plant;
  readonly collector: Collector;
  readonly retention: OperationConfig['retention'];
  readonly disk: () => DiskForecast;
  readonly historian: () => HistorianStatus | null;
  /** Epoch ms. */
  readonly startedAt: number;
}

/** What an operator has to know of the service, out of its parts. */
export function serviceStatus({ plant, collector, retention, disk, historian, startedAt }: StatusParts): ServiceStatus {
  const clocks = collector.store.clocks.current();
  const names = new Map([...plant.guns, ...plant.air].map(({ id, name }) => [id, name ?? id]));
  const { rawDays, thinnedDays, runsDays } = retention;
  const { usedBytes, freeBytes, growthPerDay, daysLeft, warning } = disk();
  return {
    startedAt,
    disk: { usedBytes, freeBytes, growthPerDay, daysLeft, warning },
    retention: { rawDays, thinnedDays, runsDays },
    stations: [...plant.guns, ...plant.air].map(({ id, name }) => {
      const now = collector.latest(id);
      return {
        id,
        name: name ?? id,
        newest: now?.newestTime ?? null,
        online: now?.online ?? null,
        clockOffsetMs: clocks.get(id) ?? null,
      };
    }),
    refused: collector.store.quarantine
      .counts()
      .map((count) => ({ ...count, means: REASONS[count.reason as keyof typeof REASONS] ?? count.reason })),
    damaged: damagedIn(collector.store).map(({ kind, station, from, to, what, fault, certain }) => ({
      ...{ kind, id: station === '' ? null : station },
      station: station === '' ? null : (names.get(station) ?? station),
      ...{ from, to, why: `${what}: ${fault}${certain ? '' : '; whose it was is damaged too and may be more'}` },
    })),
    historian: historian(),
  };
}

/** Why readings are not taken, in one sentence for wall and `/readyz`; null while they are. */
export function whyNotReady(collector: Collector, disk: () => DiskForecast): string | null {
  if (collector.counts().storing) return null;
  const full = disk().freeBytes < FULL_BYTES;
  return full
    ? 'The disk is full: no readings are acknowledged until there is room.'
    : 'Readings are not taken: the store cannot be written.';
}
