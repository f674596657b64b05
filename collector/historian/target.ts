import type { Frames } from '../contract/frames.ts';
import type { HistorianPoint } from './point.ts';

/** A long-term store, whatever it is. */
export interface HistorianTarget {
  /** Gets ready to be written to; may be called again. @throws {Error} when it cannot be reached or refuses */
  prepare(): Promise<void>;
  /**
   * Writes points; resolves once they are durable there.
   *
   * @throws {PointsRefused} it will never take some of them; others may have been written
   * @throws {Error} it could not be reached or is not well; nothing is known of the points
   */
  write(points: readonly HistorianPoint[]): Promise<void>;
}

/** A target that can be read, too. */
export interface ReadableTarget extends HistorianTarget {
  /** Readings of a station in [from, to), in blocks of ascending times. */
  read(site: string, station: string, from: number, to: number): AsyncGenerator<Frames>;
}

/** The target is well, but does not take these points: to try again is of no use. */
export class PointsRefused extends Error {}

/** What is said of a request that took longer than one may. */
export const ANSWER_LATE = 'InfluxDB did not answer in time';

/** Statuses that a person or time can mend: not signed in, not allowed, no such database, too slow, too early, too many. */
const MAY_PASS = new Set([401, 403, 404, 408, 425, 429]);

/** What an HTTP status of a write means. */
export function writeFault(status: number | undefined, message: string, cause: unknown): Error {
  const isRefusal = status !== undefined && status >= 400 && status < 500 && !MAY_PASS.has(status);
  return isRefusal ? new PointsRefused(message, { cause }) : new Error(message, { cause });
}
