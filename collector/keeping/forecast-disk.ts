import { linearRegression } from 'simple-statistics';
import type { DiskSample } from '../store/disk-use.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** Samples that the growth is taken from. Source: own choice: four weeks hold every kind of day. */
export const LOOKED_BACK_MS = 28 * DAY_MS;
/** Below this span a growth would be guesswork. Source: own choice: half a shift. */
const LEAST_SPAN_MS = 4 * HOUR_MS;
/** Less room than this is as good as none: the write-ahead log alone may need as much, bytes. */
const FULL_BYTES = 16 * 1024 * 1024;

export interface DiskLimits {
  /** Days until the disk is full from which it is warned of. */
  readonly warnDays: number;
  /** Free room from which it is warned of, bytes. */
  readonly warnFreeBytes: number;
}

export interface DiskForecast extends DiskSample {
  /** Bytes a day by least squares over the last four weeks; null while fewer than four hours are known. */
  readonly growthPerDay: number | null;
  /** Days until the free room is used up; null where it does not shrink or is not known. */
  readonly daysLeft: number | null;
  /** One sentence when somebody has to make room; null while all is well. */
  readonly warning: string | null;
}

/**
 * When the disk will be full.
 *
 * @param now the disk as it is
 * @param samples of before, ascending
 */
export function forecastDisk(now: DiskSample, samples: readonly DiskSample[], limits: DiskLimits): DiskForecast {
  const points = [...samples.filter(({ at }) => at >= now.at - LOOKED_BACK_MS && at < now.at), now];
  const span = now.at - points[0]!.at;
  const growthPerDay =
    span < LEAST_SPAN_MS
      ? null
      : linearRegression(points.map(({ at, usedBytes }) => [(at - now.at) / DAY_MS, usedBytes])).m;
  const daysLeft = growthPerDay !== null && growthPerDay > 0 ? now.freeBytes / growthPerDay : null;
  return { ...now, growthPerDay, daysLeft, warning: warningOf(now.freeBytes, daysLeft, limits) };
}

function warningOf(freeBytes: number, daysLeft: number | null, { warnDays, warnFreeBytes }: DiskLimits): string | null {
  const free = `${Math.floor(freeBytes / 1e6)} MB free`;
  if (freeBytes < FULL_BYTES) return `The disk is as good as full (${free}). Make room: readings will not be taken.`;
  if (daysLeft !== null && daysLeft < warnDays)
    return `The disk will be full in ${daysLeft < 1 ? 'less than a day' : `about ${Math.floor(daysLeft)} days`} (${free}). Make room, or keep raw readings for a shorter time.`;
  if (freeBytes < warnFreeBytes) return `Little room is left on the disk (${free}). Make room.`;
  return null;
}
