import type { Log } from '../log.ts';
import type { Store, Writer } from '../store/store.ts';
import { type DiskForecast, forecastDisk, LOOKED_BACK_MS } from './forecast-disk.ts';
import type { RetentionConfig } from './retention-config.ts';

/** How often the disk is measured, and old data looked for, ms. Source: own choice. */
const MEASURE_MS = 15 * 60_000;
const RETAIN_MS = 6 * 3_600_000;
/** Peace for the start, ms. Source: own choice. */
const FIRST_RETAIN_MS = 10 * 60_000;
/** A warning is logged again after so long, ms. */
const WARN_AGAIN_MS = 24 * 3_600_000;

export interface KeepingOptions {
  readonly store: Store;
  readonly writer: Pick<Writer, 'retain'>;
  readonly config: RetentionConfig;
  /** Wall clock, epoch ms. */
  readonly now: () => number;
  readonly log: Log;
}

/** What takes away old data and watches the disk while the service runs. */
export interface Keeping {
  /** The disk as it is, and when it will be full. */
  disk(): DiskForecast;
  stop(): void;
}

export function startKeeping({ store, writer, config, now, log }: KeepingOptions): Keeping {
  const limits = { warnDays: config.warnDiskDays, warnFreeBytes: config.warnFreeBytes };
  let warnedAt = Number.NEGATIVE_INFINITY;
  const disk = (): DiskForecast => {
    const sample = store.diskUse.measure(now());
    return forecastDisk(sample, store.diskUse.list(sample.at - LOOKED_BACK_MS), limits);
  };
  const measure = (): void => {
    try {
      const forecast = disk();
      if (forecast.warning !== null && now() - warnedAt >= WARN_AGAIN_MS) {
        warnedAt = now();
        log.warn({ freeBytes: forecast.freeBytes, daysLeft: forecast.daysLeft }, forecast.warning);
      }
      store.diskUse.add(forecast);
    } catch (error) {
      log.warn({ error: String(error) }, 'the use of the disk could not be noted; it will be tried again');
    }
  };
  const retain = (): void => {
    writer.retain(config, now()).catch((error: unknown) => {
      log.warn({ error: String(error) }, 'old data could not be taken away; it will be tried again');
    });
  };
  measure();
  const timers = [setInterval(measure, MEASURE_MS), setInterval(retain, RETAIN_MS)];
  const first = setTimeout(retain, FIRST_RETAIN_MS);
  return {
    disk,
    stop: () => {
      clearTimeout(first);
      for (const timer of timers) clearInterval(timer);
    },
  };
}
